import type { Site } from "../../../collector/platform/settings/site.ts";
import type { TrueRun } from "../../../simulator/runs/true-run.ts";
import type { RunRecord } from "../../../spc/model/journal-entry.ts";
import { convert } from "../../../spc/units/ucum.ts";
import { featureUnits } from "../feature-units.ts";

/** A feature as it was told beside what it truly was. */
export interface FeatureError {
  readonly feature: string;
  readonly runs: number;
  readonly refused: number;
  readonly mean: number;
  readonly sd: number;
  readonly worst: number;
}

/** Where runs were cut beside where they truly were. */
export interface Borders {
  readonly true: number;
  /** Begun and ended within a second of the truth. */
  readonly right: number;
  readonly missing: number;
  /** Cut where there was none. */
  readonly extra: number;
  readonly worstMs: number;
}

const closeMs = 1_000;

export function featureErrors(site: Site, told: readonly RunRecord[], truth: readonly TrueRun[]): FeatureError[] {
  const known = new Map(truth.map((run) => [run.id, run]));
  const units = featureUnits(site.stations.flatMap(({ plans }) => plans));
  const off = new Map<string, { errors: number[]; refused: number }>();
  for (const { run, features } of told) {
    const own = known.get(run.id);
    if (own === undefined) continue;
    for (const { feature, value } of features) {
      const real = own.features[feature];
      const unit = units.get(feature);
      if (real === undefined || unit === undefined) continue;
      const row = off.get(feature) ?? { errors: [], refused: 0 };
      off.set(feature, row);
      const truly = real.unit === unit ? real.value : convert(real.value, real.unit, unit);
      if (value === null || truly === undefined) row.refused += 1;
      else row.errors.push(value - truly);
    }
  }
  return [...off].map(([feature, { errors, refused }]) => {
    const n = Math.max(1, errors.length);
    const mean = errors.reduce((sum, error) => sum + error, 0) / n;
    const sd = Math.sqrt(errors.reduce((sum, error) => sum + (error - mean) ** 2, 0) / n);
    const worst = errors.reduce((most, error) => Math.max(most, Math.abs(error)), 0);
    return { feature, runs: errors.length + refused, refused, mean, sd, worst };
  });
}

/** Of the kinds of run that the truth knows; runs at the ends of the stretch are left out, for they are cut short there. */
export function bordersOf(
  told: readonly RunRecord[],
  truth: readonly TrueRun[],
  fromMs: number,
  toMs: number,
): Borders {
  const whole = ({ startMs, endMs }: { readonly startMs: number; readonly endMs: number }): boolean =>
    startMs >= fromMs && endMs <= toMs;
  const real = truth.filter(whole);
  /** Station, kind of run and item, as ids name them: a ladle is not looked for among its pours. */
  const nameOf = (id: string): string => id.slice(0, id.indexOf(":"));
  const kindOf = (name: string): string => name.split("~")[0] as string;
  const kinds = new Set(real.map(({ id }) => kindOf(nameOf(id))));
  const byName = new Map<string, RunRecord["run"][]>();
  for (const { run } of told) {
    const name = nameOf(run.id);
    if (!kinds.has(kindOf(name))) continue;
    const known = byName.get(name);
    if (known === undefined) byName.set(name, [run]);
    else known.push(run);
  }
  let [right, missing, worstMs] = [0, 0, 0];
  const used = new Set<string>();
  for (const run of real) {
    const near = (byName.get(nameOf(run.id)) ?? []).find(
      (one) =>
        !used.has(one.id) && Math.abs(one.startMs - run.startMs) < Math.min(60_000, (run.endMs - run.startMs) / 2),
    );
    if (near === undefined) {
      missing += 1;
      continue;
    }
    used.add(near.id);
    const off = Math.max(Math.abs(near.startMs - run.startMs), Math.abs(near.endMs - run.endMs));
    if (off <= closeMs) right += 1;
    worstMs = Math.max(worstMs, off);
  }
  const extra = [...byName.values()].flat().filter((run) => whole(run) && !used.has(run.id)).length;
  return { true: real.length, right, missing, extra, worstMs };
}
