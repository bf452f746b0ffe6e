import type { ChartPairName } from "../model/characteristic.ts";
import type { Limits, Subgroup } from "../model/chart.ts";
import type { LimitSet } from "../model/limit-set.ts";
import type { Outcome } from "../model/outcome.ts";
import { ok, refuse } from "../model/outcome.ts";
import { moments } from "../stats/moments.ts";
import { baselineValues } from "./baseline-values.ts";
import { linesAround } from "./individuals.ts";
import { limitDiagnostics } from "./limit-diagnostics.ts";
import { chartPairs } from "./pair.ts";

/** What limits are asked for, and from what. */
export interface BaselineRequest {
  readonly pair: ChartPairName;
  /** In time order; one without values holds the place of a missing one. */
  readonly subgroups: readonly Subgroup[];
  readonly everyMs: number;
  readonly unit: string;
  readonly rules: readonly string[];
  readonly basis: LimitSet["basis"];
  /** Run id to the recorded cause for leaving it out; without a cause nothing is left out. */
  readonly excluded?: Readonly<Record<string, string>>;
  /** Runs of the baseline that were imported. */
  readonly imported?: ReadonlySet<string>;
}

/** Everything of a limit set but its name, its people and its times. */
export type LimitProposal = Pick<
  LimitSet,
  "basis" | "charts" | "location" | "spread" | "estimator" | "k" | "unit" | "rules" | "baseline" | "diagnostics"
>;

/** More than this share left out with causes, and the process was not stable enough for limits; common practice. */
const MOST_EXCLUDED = 1 / 3;

/**
 * Proposed limits: Phase 1 of a chart pair, with all that an engineer needs to defend or refuse them.
 *
 * @shape   subgroups of the baseline in time order, the runs to leave out with their causes
 * @unit    that of the characteristic
 * @method  both charts' estimators over the runs kept. Basis `overall`: location limits at three overall s (n - 1)
 *          around the same mean; the spread chart keeps its own, being about neighbours either way
 * @refuses too-few, zero-variation, not-a-number; too-many-excluded above one third
 * @throws  RangeError for subgroups out of time order or of the wrong size: a defect in the caller
 * @cost    O(n log n)
 * @source  NIST/SEMATECH e-Handbook 6.3.2.2; exclusion only with a cause: ISO 7870-2 (from memory)
 * @checked tests/reference/spc/charts/individuals.test.ts
 */
export function proposeLimits(request: BaselineRequest): Outcome<LimitProposal> {
  const pair = chartPairs[request.pair];
  const spacing = { everyMs: request.everyMs };
  const kept = withoutExcluded(request.subgroups, request.excluded ?? {});
  if (!kept.ok) return kept;
  const subgroups = kept.value;

  const location = pair.location.estimate(subgroups, spacing);
  if (!location.ok) return location;
  const spread = pair.spread.estimate(subgroups, spacing);
  if (!spread.ok) return spread;
  const baseline = baselineValues(subgroups, spacing);
  if (!baseline.ok) return baseline;

  const diagnostics = limitDiagnostics(baseline.value, location.value, spread.value);
  const used = subgroups.filter((subgroup) => subgroup.values.length > 0);
  return ok({
    basis: request.basis,
    charts: [pair.location.kind, pair.spread.kind],
    location: request.basis === "overall" ? overallLines(baseline.value.values) : location.value,
    spread: spread.value,
    estimator: request.basis === "overall" ? "overall" : pair.estimator,
    k: pair.k,
    unit: request.unit,
    rules: request.rules,
    baseline: {
      fromMs: used[0]!.atMs,
      toMs: used.at(-1)!.atMs,
      n: used.length,
      excluded: request.excluded ?? {},
      imported: used.filter(({ runs }) => runs.some((run) => request.imported?.has(run))).length,
    },
    diagnostics,
  });
}

/** An excluded run leaves its place empty, so that no moving range bridges it. */
function withoutExcluded(
  subgroups: readonly Subgroup[],
  excluded: Readonly<Record<string, string>>,
): Outcome<readonly Subgroup[]> {
  const isOut = (subgroup: Subgroup): boolean => subgroup.runs.some((run) => Object.hasOwn(excluded, run));
  const there = subgroups.filter((subgroup) => subgroup.values.length > 0);
  const out = there.filter(isOut).length;
  if (out > MOST_EXCLUDED * there.length) {
    const detail = `${out} of ${there.length} runs are left out with causes, more than a third: the process was not stable`;
    return refuse("too-many-excluded", detail, { needs: there.length - out, has: out });
  }
  return ok(subgroups.map((subgroup) => (isOut(subgroup) ? { ...subgroup, values: [] } : subgroup)));
}

function overallLines(values: readonly number[]): Limits {
  const { mean, sd } = moments(values);
  return linesAround(mean, sd);
}
