import type { JSX } from "preact";
import type { WireTrial, WireTrialSide } from "../../../api/contract/bench-wire.ts";
import { cautionSentences, chanceSentences, valueWords, type Wording } from "../../model/bench-words.ts";
import { figure } from "../../model/numbers.ts";

type Side = WireTrial["trial"];

/** Trial and revised limits side by side, beside those in force. */
export function SideFigures({ trial, say }: { readonly trial: WireTrial; readonly say: Wording }): JSX.Element {
  const trialSide = statedOf(trial.trial);
  const revised = trial.revised === null ? null : statedOf(trial.revised);
  const { inForce } = trial;
  const v = (value: number): string => valueWords(value, say);
  const sigma = (value: number): string => `${figure(value, say.digits + 1)}${say.unit}`;
  const rows: readonly (readonly [string, (side: WireTrialSide) => string, string])[] = [
    ["high limit", (side) => v(side.location.upper), inForce === null ? "" : v(inForce.location.upper)],
    ["centre", (side) => v(side.location.centre), inForce === null ? "" : v(inForce.location.centre)],
    ["low limit", (side) => v(side.location.lower), inForce === null ? "" : v(inForce.location.lower)],
    ["spread, high limit", (side) => v(side.spread.upper), inForce === null ? "" : v(inForce.spread.upper)],
    ["rests on", (side) => String(side.restsOn.n), inForce === null ? "" : String(inForce.baseline.n)],
    [
      "sigma from the chart",
      (side) => sigma(side.restsOn.sigmaWithin),
      inForce === null ? "" : sigma(inForce.diagnostics.sigmaWithin),
    ],
    [
      "sigma from all values",
      (side) => sigma(side.restsOn.sigmaOverall),
      inForce === null ? "" : sigma(inForce.diagnostics.sigmaOverall),
    ],
    [
      "lag-1 correlation",
      (side) =>
        `${figure(side.restsOn.lag1, 2)} (${figure(side.restsOn.lag1Band[0], 2)} to ${figure(side.restsOn.lag1Band[1], 2)})`,
      inForce === null ? "" : figure(inForce.diagnostics.lag1, 2),
    ],
    ["signals in the window", (side) => String(side.signals), ""],
    ["without a recorded cause", (side) => String(side.unexplained), ""],
  ];
  const newest = revised ?? trialSide;
  const cautions = newest === null ? [] : newest.cautions;
  const refused = trial.revised !== null && "refusal" in trial.revised ? trial.revised.refusal : null;
  return (
    // biome-ignore lint/a11y/noNoninteractiveTabindex: a region that scrolls must be reachable by keyboard
    <section class="side-figures" aria-label="Trial, revised and working limits" tabIndex={0}>
      <table>
        <caption class="unseen">Trial, revised and working limits side by side</caption>
        <thead>
          <tr>
            <th scope="col">
              <span class="unseen">Figure</span>
            </th>
            <th scope="col">Trial</th>
            {revised === null ? null : <th scope="col">Revised</th>}
            <th scope="col">In force</th>
          </tr>
        </thead>
        <tbody>
          {rows.map(([label, of, now]) => (
            <tr key={label}>
              <th scope="row">{label}</th>
              <td data-figure={`trial ${label}`}>{trialSide === null ? "refused" : of(trialSide)}</td>
              {revised === null ? null : <td data-figure={`revised ${label}`}>{of(revised)}</td>}
              <td data-figure={`in force ${label}`}>{now === "" ? "–" : now}</td>
            </tr>
          ))}
        </tbody>
      </table>
      <div>
        {refused === null ? null : (
          <p class="said" role="status">
            No revised limits: {refused.detail}.
          </p>
        )}
        {trial.chance === null || newest === null
          ? null
          : chanceSentences(trial.chance, newest.restsOn.n, say).map((text) => <p key={text}>{text}</p>)}
        {cautionSentences(cautions).map((text) => (
          <p key={text} class="caution" data-caution>
            {text}
          </p>
        ))}
      </div>
    </section>
  );
}

function statedOf(side: Side): WireTrialSide | null {
  return "refusal" in side ? null : side;
}
