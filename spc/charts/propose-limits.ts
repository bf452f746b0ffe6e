import type { ChartPairName, EwmaWords } from "../model/characteristic.ts";
import type { Limits, Subgroup } from "../model/chart.ts";
import type { LimitSet } from "../model/limit-set.ts";
import type { Outcome } from "../model/outcome.ts";
import { ok, refuse } from "../model/outcome.ts";
import type { ProposedLimits } from "../model/proposal.ts";
import { moments } from "../stats/moments.ts";
import { baselineValues } from "./baseline-values.ts";
import { INDIVIDUALS_K, individuals, linesAround } from "./individuals.ts";
import { limitDiagnostics } from "./limit-diagnostics.ts";
import { movingRange } from "./moving-range.ts";
import { proposeGrouped } from "./propose-grouped.ts";

/** What limits are asked for, and from what. */
export interface BaselineRequest {
  readonly pair: ChartPairName;
  /** Runs that are judged together, and what an EWMA is told: as the characteristic has them. */
  readonly subgroup?: { readonly runs: number } | undefined;
  readonly ewma?: EwmaWords | undefined;
  /** One run each, in time order; one without values holds the place of a missing one. */
  readonly subgroups: readonly Subgroup[];
  /** From one run to the next. */
  readonly everyMs: number;
  readonly unit: string;
  readonly rules: readonly string[];
  readonly basis: LimitSet["basis"];
  /** Run id to the recorded cause for leaving it out; without a cause nothing is left out. */
  readonly excluded?: Readonly<Record<string, string>>;
  /** Runs of the baseline that were imported. */
  readonly imported?: ReadonlySet<string>;
}

/** More than this share left out with causes, and the process was not stable enough for limits; common practice. */
const MOST_EXCLUDED = 1 / 3;

/**
 * Proposed limits: Phase 1 of a chart pair, with all that an engineer needs to defend or refuse them.
 *
 * @shape   subgroups of the baseline in time order, the runs to leave out with their causes
 * @unit    that of the characteristic
 * @method  both charts' estimators over the runs kept. Basis `overall`: location limits at three overall s (n - 1)
 *          around the same mean; the spread chart keeps its own, being about neighbours either way. Averages and EWMA
 *          as `proposeGrouped`, over the subgroups that the runs give
 * @refuses too-few, zero-variation, not-a-number; too-many-excluded above one third
 * @throws  RangeError for subgroups out of time order or of the wrong size: a defect in the caller
 * @cost    O(n log n)
 * @source  NIST/SEMATECH e-Handbook 6.3.2.2; exclusion only with a cause: ISO 7870-2 (from memory)
 * @checked tests/reference/spc/charts/individuals.test.ts
 */
export function proposeLimits(request: BaselineRequest): Outcome<ProposedLimits> {
  const spacing = { everyMs: request.everyMs };
  const kept = withoutExcluded(request.subgroups, request.excluded ?? {});
  if (!kept.ok) return kept;
  const subgroups = kept.value;
  if (request.pair !== "individuals") return proposeGrouped(request, subgroups);

  const location = individuals.estimate(subgroups, spacing);
  if (!location.ok) return location;
  const spread = movingRange.estimate(subgroups, spacing);
  if (!spread.ok) return spread;
  const baseline = baselineValues(subgroups, spacing);
  if (!baseline.ok) return baseline;

  const lines = request.basis === "overall" ? overallLines(baseline.value.values) : location.value;
  const diagnostics = limitDiagnostics(baseline.value, location.value, spread.value, lines);
  return ok({
    basis: request.basis,
    charts: [individuals.kind, movingRange.kind],
    location: lines,
    spread: spread.value,
    estimator: request.basis === "overall" ? "overall" : "moving-range",
    k: INDIVIDUALS_K,
    unit: request.unit,
    rules: request.rules,
    baseline: baselineOf(request, subgroups),
    diagnostics,
  });
}

/**
 * Baseline of a proposal: from when to when, how many, and what was left out.
 *
 * @shape   what was asked, and the subgroups that were used, at least one with a value
 * @unit    milliseconds, counts
 * @source  derived here
 * @checked tests/unit/spc/charts/limit-diagnostics.test.ts
 */
export function baselineOf(request: BaselineRequest, subgroups: readonly Subgroup[]): LimitSet["baseline"] {
  const used = subgroups.filter((subgroup) => subgroup.values.length > 0);
  return {
    fromMs: used[0]!.atMs,
    toMs: used.at(-1)!.atMs,
    n: used.length,
    excluded: request.excluded ?? {},
    imported: used.filter(({ runs }) => runs.some((run) => request.imported?.has(run))).length,
  };
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
