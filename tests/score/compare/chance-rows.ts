import type { Site } from "../../../collector/platform/settings/site.ts";
import { atOnce } from "../../../spc/model/at-once.ts";
import { usualEwma } from "../../../spc/model/characteristic.ts";
import type { JournalEntry, PointRecord } from "../../../spc/model/journal-entry.ts";
import type { LimitSet } from "../../../spc/model/limit-set.ts";
import { pairPriceSteps } from "../../../spc/price/pair-price.ts";
import { lawKey } from "../watch/fault-free.ts";
import type { ChanceRow } from "./chance.ts";

/** Points beyond limits of a plant without a fault, chart by chart; limits that rule no rule by themselves are left out. */
export function chanceRows(
  seed: number,
  site: Site,
  sets: ReadonlyMap<string, LimitSet>,
  means: ReadonlyMap<string, number>,
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
    return [
      {
        ...{
          seed,
          characteristic: id,
          law: lawKey(station, feature!, part),
          rule: ewma === null ? "beyond-limit" : "ewma",
        },
        ...{ points: row.points, observed: row.observed, begun: row.begun },
        ...{ lower: set.location.lower, upper: set.location.upper, runs: set.scheme?.runs ?? 1, mean },
        baseline: set.baseline.n,
        lambda: ewma?.lambda ?? 1,
        // What a trial tells of the limits alone: other rules of the chart are none of these points.
        toldOnceIn: atOnce(pairPriceSteps({ ...set, rules: ["beyond-limit"] })).location,
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
