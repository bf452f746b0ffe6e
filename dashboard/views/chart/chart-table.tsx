import type { JSX } from "preact";
import type { WireCharacteristic, WireFlag, WirePoint } from "../../../api/contract/wire.ts";
import { pages } from "../../client/paths.ts";
import { locationWord, spreadWord, subgroupWords } from "../../model/chart-words.ts";
import { figure } from "../../model/numbers.ts";
import { siteTimes } from "../../model/times.ts";
import { unitWord } from "../../model/units.ts";

export interface ChartTableProps {
  readonly characteristic: WireCharacteristic;
  readonly points: readonly WirePoint[];
  readonly flags: ReadonlyMap<string, WireFlag>;
  readonly zone: string;
}

/** The same points as figures, newest first. */
export function ChartTable({ characteristic, points, flags, zone }: ChartTableProps): JSX.Element {
  const times = siteTimes(zone);
  const n = (value: number | null): string => (value === null ? "" : figure(value, characteristic.digits));
  const unit = unitWord(characteristic.unit, characteristic.reference, characteristic.quantity);
  return (
    // biome-ignore lint/a11y/noNoninteractiveTabindex: a region that scrolls must be reachable by keyboard
    <section class="table" aria-label="Points as a table" tabIndex={0}>
      <table>
        <thead>
          <tr>
            <th scope="col">{characteristic.runWord} ended</th>
            <th scope="col">
              {characteristic.chart === "individuals" ? "value" : locationWord(characteristic)} {unit}
            </th>
            <th scope="col">{spreadWord(characteristic)}</th>
            <th scope="col">low limit</th>
            <th scope="col">centre</th>
            <th scope="col">high limit</th>
            <th scope="col">judged</th>
            <th scope="col">flag</th>
          </tr>
        </thead>
        <tbody>
          {points.toReversed().map((point) => (
            <tr key={point.run}>
              <th scope="row">
                <a href={pages.run(point.run)}>
                  {times.day(Date.parse(point.at))} {times.clock(Date.parse(point.at))}
                </a>
              </th>
              <td>{point.location.value === null ? "no value" : n(point.location.value)}</td>
              <td>{n(point.spread.value)}</td>
              <td>{n(point.location.lower)}</td>
              <td>{n(point.location.centre)}</td>
              <td>{n(point.location.upper)}</td>
              <td>
                {point.imported
                  ? "imported"
                  : point.location.value === null
                    ? (point.refusal?.detail ?? "not judged")
                    : [point.location.verdict.replace("-", " "), ...subgroupWords(point, characteristic)].join("; ")}
              </td>
              <td>{point.signals.length === 0 ? "" : (flags.get(point.flag ?? "")?.number ?? "yes")}</td>
            </tr>
          ))}
        </tbody>
      </table>
    </section>
  );
}
