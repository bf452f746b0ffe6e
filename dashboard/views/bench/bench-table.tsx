import type { JSX } from "preact";
import type { WireBench } from "../../../api/contract/bench-wire.ts";
import { pages } from "../../client/paths.ts";
import { drawnFigure } from "../../model/bench-picture.ts";
import { judgedWords, kindOf } from "../../model/bench-words.ts";
import { locationWord, spreadWord } from "../../model/chart-words.ts";
import { siteTimes } from "../../model/times.ts";

/** The points as drawn, as figures, newest first. */
export function BenchTable(props: {
  readonly bench: WireBench;
  readonly zone: string;
  readonly unit: string;
}): JSX.Element {
  const { bench } = props;
  const { characteristic } = bench;
  const kind = kindOf(bench);
  const times = siteTimes(props.zone);
  const n = (value: number | null): string => drawnFigure(value, characteristic.digits);
  const numbers = new Map(bench.flags.map(({ id, number }) => [id, number]));
  const sets = new Map(bench.phases.flatMap(({ limits }) => (limits === null ? [] : [[limits.id, limits.revision]])));
  const out = new Map(bench.exclusions.map((one) => [one.run, one.cause]));
  return (
    // biome-ignore lint/a11y/noNoninteractiveTabindex: a region that scrolls must be reachable by keyboard
    <section class="table" aria-label="Points as a table" tabIndex={0}>
      <table data-bench-table>
        <thead>
          <tr>
            <th scope="col">{characteristic.runWord} ended</th>
            <th scope="col">
              {bench.chart === "individuals" ? "value" : locationWord(kind)} {props.unit}
            </th>
            <th scope="col">low limit</th>
            <th scope="col">centre</th>
            <th scope="col">high limit</th>
            <th scope="col">{spreadWord(kind)}</th>
            <th scope="col">its high limit</th>
            <th scope="col">limits</th>
            <th scope="col">judged</th>
            <th scope="col">flag</th>
          </tr>
        </thead>
        <tbody>
          {bench.points.toReversed().map((point) => (
            <tr key={point.run} data-run={point.run}>
              <th scope="row">
                <a href={pages.run(point.run)}>
                  {times.day(Date.parse(point.at))} {times.clock(Date.parse(point.at))}
                </a>
              </th>
              <td data-cell="location">{point.location.value === null ? "no value" : n(point.location.value)}</td>
              <td>{n(point.location.lower)}</td>
              <td>{n(point.location.centre)}</td>
              <td>{n(point.location.upper)}</td>
              <td data-cell="spread">{n(point.spread.value)}</td>
              <td>{n(point.spread.upper)}</td>
              <td>{point.limitSet === null ? "" : (sets.get(point.limitSet) ?? "")}</td>
              <td>
                {judgedWords(bench, point)}
                {out.has(point.run) ? `, left out of limits: ${out.get(point.run)}` : ""}
              </td>
              <td>{point.signals.length === 0 ? "" : (numbers.get(point.flag ?? "") ?? "yes")}</td>
            </tr>
          ))}
        </tbody>
      </table>
    </section>
  );
}
