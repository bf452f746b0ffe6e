import type { JSX } from "preact";
import type { WireBooked, WireBookedSet } from "../../../api/contract/bench-wire.ts";
import { pages } from "../../client/paths.ts";
import { countedPoints } from "../../model/bench-count.ts";
import { chartName } from "../../model/bench-rules.ts";
import { cautionSentences, missingWords, type Wording } from "../../model/bench-words.ts";
import { ageWords, setName, stateName } from "../../model/limits-words.ts";
import { counted, figure } from "../../model/numbers.ts";

type WordingOf = (characteristic: WireBooked["characteristic"]) => Wording;

/** The book itself: chart by chart, each with its limit sets, newest first. Open proposals stand above, not here. */
export function BookRows(props: { readonly items: readonly WireBooked[]; readonly wording: WordingOf }): JSX.Element {
  return (
    // biome-ignore lint/a11y/noNoninteractiveTabindex: a region that scrolls must be reachable by keyboard
    <section class="book" aria-label="Limit sets" tabIndex={0}>
      <table>
        <thead>
          <tr>
            <th scope="col">Chart</th>
            <th scope="col">Limits</th>
            <th scope="col">State</th>
            <th scope="col" class="number">
              Low
            </th>
            <th scope="col" class="number">
              Centre
            </th>
            <th scope="col" class="number">
              High
            </th>
            <th scope="col">Rests on</th>
            <th scope="col">In force</th>
            <th scope="col">Who and why</th>
          </tr>
        </thead>
        {props.items.map((item) => (
          <Charted key={item.characteristic.id} item={item} say={props.wording(item.characteristic)} />
        ))}
      </table>
    </section>
  );
}

function Charted({ item, say }: { readonly item: WireBooked; readonly say: Wording }): JSX.Element {
  const { characteristic: one, missing } = item;
  const sets = item.sets.filter(({ state }) => state !== "trial");
  const waiting = item.sets.length - sets.length;
  const link = (
    <>
      <a href={pages.bench(one.id)}>
        <b>{one.station}</b> {one.name}
        {one.part === null ? "" : ` ${one.part}`}
      </a>
      {waiting === 0 ? null : <span class="light">{counted(waiting, "proposal")} open</span>}
    </>
  );
  if (sets.length === 0) {
    return (
      <tbody data-booked={one.id}>
        <tr data-set-state="missing">
          <th scope="rowgroup">{link}</th>
          <td colSpan={8}>{missing === null ? "No limits in force." : `${missingWords(missing, say)}.`}</td>
        </tr>
      </tbody>
    );
  }
  return (
    <tbody data-booked={one.id}>
      {sets.map((set, at) => (
        <tr key={set.id} data-set={set.id} data-set-state={set.state}>
          {at === 0 ? (
            <th scope="rowgroup" rowSpan={sets.length}>
              {link}
            </th>
          ) : null}
          <SetCells set={set} say={say} />
        </tr>
      ))}
    </tbody>
  );
}

function SetCells({ set, say }: { readonly set: WireBookedSet; readonly say: Wording }): JSX.Element {
  const { limits } = set;
  const n = (value: number): string => figure(value, say.digits);
  const left = Object.keys(limits.baseline.excluded).length;
  const day = (at: string): string => say.times.fullDay(Date.parse(at));
  const cautions = cautionSentences(set.cautions);
  return (
    <>
      <td data-label="Limits">{setName(set, null)}</td>
      <td data-label="State">
        <span class={`state state-${set.state}`}>{stateName(set.state)}</span>
        {set.stale.length === 0 ? null : (
          <span class="look-again">Look again: {set.stale.map(({ text }) => text).join("; ")}.</span>
        )}
      </td>
      <td data-label="Low" class="number">
        {n(limits.location.lower)}
      </td>
      <td data-label="Centre" class="number">
        {n(limits.location.centre)}
      </td>
      <td data-label="High" class="number">
        {n(limits.location.upper)}
        <span class="light">{say.unit}</span>
      </td>
      <td data-label="Rests on">
        <span>
          {countedPoints(limits.baseline.n, say)}
          {left === 0 ? "" : `, ${left} left out`}
        </span>
        <span class="light">
          {limits.basis === "chart" ? "the chart's own spread" : "all values"},{" "}
          {limits.charts.map(chartName).join(" and ")}
        </span>
      </td>
      <td data-label="In force">
        <span>{set.effectiveFrom === null ? "not yet" : `from ${day(set.effectiveFrom)}`}</span>
        <span class="light">{set.until === null ? `${ageWords(set.ageDays)} old` : `until ${day(set.until)}`}</span>
      </td>
      <td data-label="Who and why" class="why">
        <span>
          {set.proposedBy} proposed, {set.agreedBy === null ? "nobody agreed yet" : `${set.agreedBy} agreed`}
        </span>
        <span class="light">{set.reason === "" ? "no reason given" : set.reason}</span>
        {cautions.length === 0 ? null : (
          <details>
            <summary>{counted(cautions.length, "caution")}</summary>
            {cautions.map((text) => (
              <span key={text}>{text}</span>
            ))}
          </details>
        )}
      </td>
    </>
  );
}
