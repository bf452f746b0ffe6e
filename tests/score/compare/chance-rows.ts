import type { Site } from "../../../collector/platform/settings/site.ts";
import { atOnce } from "../../../spc/model/at-once.ts";
import { usualEwma } from "../../../spc/model/characteristic.ts";
import type { JournalEntry, PointRecord } from "../../../spc/model/journal-entry.ts";
import type { LimitSet } from "../../../spc/model/limit-set.ts";
import { pairPriceSteps } from "../../../spc/price/pair-price.ts";
import { untoldRate } from "../../../spc/price/untold-rate.ts";
import { type FaultFree, lawKey } from "../watch/fault-free.ts";
import type { ChanceRow } from "./chance.ts";

/** Points beyond limits of a plant without a fault, chart by chart; limits that rule no rule by themselves are left out. */
export function chanceRows(
  seed: number,
  site: Site,
  sets: ReadonlyMap<string, LimitSet>,
  { means, series }: Pick<FaultFree, "means" | "series">,
  entries: readonly JournalEntry[],
): ChanceRow[] {
  const rows = new Map<string, { points: number; observed: number; begun: number; beyond: boolean }>();
  for (const entry of entries) {
    if (entry.kind !== "point" || entry.body.shortBy !== undefined || entry.body.limitSet === null) continue;
    const row = rows.get(entry.body.characteristic) ?? { points: 0, observed: 0, begun: 0, beyond: false };
    rows.set(entry.body.characteristic, row);
    note(row, entry.body);
  }
  return [...rows].flatMap(([id, row]) => {
    const [stationId, feature, part = null] = id.split(":");
    const station = site.stations.find((one) => one.id === stationId)!;
    const characteristic = station.plans.find((plan) => plan.feature === feature)!.characteristic(part);
    const set = sets.get(id)!;
    const mean = means.get(id);
    if (mean === undefined || row.points === 0 || !characteristic.rules.includes("beyond-limit")) return [];
    const ewma = characteristic.chart === "ewma" ? (characteristic.ewma ?? usualEwma) : null;
    const [lambda, runs] = [ewma?.lambda ?? 1, set.scheme?.runs ?? 1];
    const { lower, upper } = set.location;
    return [
      {
        ...{
          seed,
          characteristic: id,
          law: lawKey(station, feature!, part),
          rule: ewma === null ? "beyond-limit" : "ewma",
        },
        ...{ points: row.points, observed: row.observed, begun: row.begun },
        ...{ lower, upper, runs, mean, lambda, baseline: set.baseline.n },
        counted: shareBeyond(series.get(id)!, { lower, upper, mean, lambda, runs }),
        // What a trial tells of the limits alone: other rules of the chart are none of these points.
        toldOnceIn:
          untoldRate(set.diagnostics) === null
            ? atOnce(pairPriceSteps({ ...set, rules: ["beyond-limit"] })).location
            : null,
      } satisfies ChanceRow,
    ];
  });
}

function note(
  row: { points: number; observed: number; begun: number; beyond: boolean },
  { location }: PointRecord,
): void {
  if (location.verdict === "not-evaluable") return;
  row.points += 1;
  const beyond = location.verdict !== "within";
  if (beyond) row.observed += 1;
  if (beyond && !row.beyond) row.begun += 1;
  row.beyond = beyond;
}

interface Frozen {
  readonly lower: number;
  readonly upper: number;
  readonly mean: number;
  readonly lambda: number;
  readonly runs: number;
}

/** Of averages of so many runs each, weighted as the chart weighs them. */
function shareBeyond(values: readonly number[], { lower, upper, mean, lambda, runs }: Frozen): number {
  const points = Math.floor(values.length / runs);
  let [weighted, beyond] = [mean, 0];
  for (let point = 0; point < points; point += 1) {
    let sum = 0;
    for (let at = point * runs; at < (point + 1) * runs; at += 1) sum += values[at]!;
    weighted = (lambda * sum) / runs + (1 - lambda) * weighted;
    if (weighted < lower || weighted > upper) beyond += 1;
  }
  return points === 0 ? 0 : beyond / points;
}
