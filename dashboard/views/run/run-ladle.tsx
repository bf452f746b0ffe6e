import type { JSX } from "preact";
import type { WireLadle, WireRunSheet } from "../../../api/contract/wire.ts";
import { pages } from "../../client/paths.ts";
import { LadleMark } from "../../marks/ladle-mark.tsx";
import { figure } from "../../model/numbers.ts";
import { ladleSentence, standWords } from "../../model/run-rules.ts";
import { unitAfter, unitWord } from "../../model/units.ts";

/** Name and digits of what is of the ladle as a whole. */
const names: Readonly<Record<string, readonly [name: string, digits: number]>> = {
  "ladle.first": ["First metal", 0],
  "ladle.slope": ["Slope", 1],
  "ladle.first_minus_line": ["First flask minus the line", 1],
};

/** The ladle rule: what the ladle decides once, and what is each flask's own. */
export function RunLadle({ sheet }: { readonly sheet: WireRunSheet }): JSX.Element | null {
  const { ladle, run } = sheet;
  if (ladle === null) return null;
  const own = ladle.run === run.id;
  return (
    <section class="rule-part" aria-labelledby="ladle-rule" data-ladle={ladle.like}>
      <h2 id="ladle-rule">
        {own ? "The ladle" : <a href={pages.run(ladle.run)}>The ladle{ladle.name === null ? "" : ` ${ladle.name}`}</a>}
      </h2>
      <p>{ladleSentence(ladle)}</p>
      <ul class="facts">
        {ladle.features.map(({ feature, value, unit, refusal, stand }) => {
          const [name, digits] = names[feature] ?? [feature, 1];
          return (
            <li key={feature}>
              {name}{" "}
              {value === null ? (
                <span class="light">no value: {refusal?.detail ?? "no reason given"}</span>
              ) : (
                <>
                  <b>
                    {figure(value, digits)}
                    {unitAfter(unitWord(unit))}
                  </b>{" "}
                  <span class="light">{standWords[stand]}</span>
                </>
              )}
            </li>
          );
        })}
      </ul>
      <LadleMark ladle={ladle} />
      <Flasks ladle={ladle} here={run.id} />
      <p class="light">The rule reads patterns; it names no cause and releases nothing. Common practice, no source.</p>
    </section>
  );
}

function Flasks({ ladle, here }: { readonly ladle: WireLadle; readonly here: string }): JSX.Element {
  return (
    <table class="flasks">
      <thead>
        <tr>
          <th scope="col">Position</th>
          <th scope="col">First metal, °C</th>
          <th scope="col">Line, °C</th>
          <th scope="col">Residual, K</th>
        </tr>
      </thead>
      <tbody>
        {ladle.flasks.map(({ position, run, value, expected, residual, refusal }) => (
          <tr key={run} aria-current={run === here ? "true" : undefined}>
            <th scope="row">{run === here ? <b>{position} (this one)</b> : <a href={pages.run(run)}>{position}</a>}</th>
            {value === null ? (
              <td class="light" colSpan={3}>
                no value: {refusal}
              </td>
            ) : (
              <>
                <td>{figure(value, 0)}</td>
                <td>{expected === null ? "" : figure(expected, 0)}</td>
                <td>{residual === null ? "" : `${residual > 0 ? "+" : ""}${figure(residual, 1)}`}</td>
              </>
            )}
          </tr>
        ))}
      </tbody>
    </table>
  );
}
