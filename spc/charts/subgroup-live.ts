import { evenLines } from "../drawn/lines.ts";
import { sLines } from "../drawn/spread-lines.ts";
import type { Limits } from "../model/chart.ts";
import { usualDesign } from "../model/chart-design.ts";
import type { LimitSet } from "../model/limit-set.ts";
import { subgroupMoments } from "../sigma/subgroup-moments.ts";
import { chartPoint } from "./chart-point.ts";
import type { LiveStage, SubgroupPlace } from "./live-chart.ts";

/** A set whose lines follow from a subgroup's size. */
export type SizedSet = Pick<LimitSet, "location" | "scheme" | "k">;

/**
 * Live chart of averages: where each subgroup lies, against the lines of its own size; it remembers nothing.
 *
 * @shape   a limit set with its scheme, or null; subgroups of any size, none holds the place of a missing one
 * @unit    that of the characteristic
 * @method  as `drawAveragesWithS`: mean, and k sigma / sqrt(n) to either side of the frozen centre
 * @throws  RangeError for a set without a scheme: a defect in the caller
 * @cost    O(n) a subgroup
 * @source  ISO 7870-2; NIST/SEMATECH e-Handbook 6.3.2.1 (both from memory)
 * @checked tests/property/spc/monitor/live-equals-drawn.test.ts
 */
export function averageLive(set: SizedSet | null): LiveStage {
  return sized(set, (values) => momentsOf(values).mean, averageLinesOf);
}

/**
 * Live chart of standard deviations: how much varies within each subgroup, against the lines of its own size.
 *
 * @shape   a limit set with its scheme, or null; a subgroup of fewer than two values has no spread
 * @unit    that of the characteristic
 * @method  as `drawAveragesWithS`: s with n - 1, c4 sigma, and k sqrt(1 - c4^2) sigma to either side, not below 0
 * @throws  RangeError for a set without a scheme: a defect in the caller
 * @cost    O(n) a subgroup
 * @source  ISO 7870-2; NIST/SEMATECH e-Handbook 6.3.2.1 (both from memory)
 * @checked tests/property/spc/monitor/live-equals-drawn.test.ts
 */
export function standardDeviationLive(set: SizedSet | null): LiveStage {
  return sized(set, (values) => momentsOf(values).sd, standardDeviationLinesOf);
}

/**
 * Lines of an average of n values.
 *
 * @shape   a limit set with its scheme; n, one or more
 * @unit    that of the characteristic
 * @source  ISO 7870-2 (from memory)
 * @checked tests/property/spc/monitor/live-equals-drawn.test.ts
 */
export function averageLinesOf(set: SizedSet, n: number): Limits {
  const lines = evenLines(set.location.centre, schemeOf(set).sigma / Math.sqrt(n), set.k);
  return numbers(lines);
}

/**
 * Lines of a standard deviation of n values; null for fewer than two.
 *
 * @shape   a limit set with its scheme; n, one or more
 * @unit    that of the characteristic
 * @source  ISO 7870-2 (from memory)
 * @checked tests/property/spc/monitor/live-equals-drawn.test.ts
 */
export function standardDeviationLinesOf(set: SizedSet, n: number): Limits | null {
  if (n < 2) return null;
  const design = { ...usualDesign({ from: 0, to: 1 }), k: set.k };
  const lines = sLines(Uint32Array.of(0, n), schemeOf(set).sigmaWithin, design);
  return lines.ok ? numbers(lines.value) : null;
}

/**
 * Mean and standard deviation of one subgroup; null where there is none.
 *
 * @shape   finite values in time order
 * @unit    that of the characteristic
 * @cost    O(n)
 * @source  as `subgroupMoments`
 * @checked tests/property/spc/monitor/live-equals-drawn.test.ts
 */
export function momentsOf(values: readonly number[]): { readonly mean: number | null; readonly sd: number | null } {
  if (values.length === 0) return { mean: null, sd: null };
  const starts = Uint32Array.of(0, values.length);
  const { means, sds } = subgroupMoments({ values: Float64Array.from(values), starts, anew: [] });
  const finite = (value: number): number | null => (Number.isFinite(value) ? value : null);
  return { mean: finite(means[0]!), sd: finite(sds[0]!) };
}

function sized(
  set: SizedSet | null,
  statistic: (values: readonly number[]) => number | null,
  linesOf: (set: SizedSet, n: number) => Limits | null,
): LiveStage {
  return {
    initial: null,
    step(state, place: SubgroupPlace) {
      const n = place.values.length;
      const value = statistic(place.values);
      // A place without a value stands beside the lines of a full subgroup.
      const lines = set === null ? null : linesOf(set, n === 0 ? schemeOf(set).runs : n);
      const { subgroup, atMs } = place;
      return {
        state,
        out: [{ point: chartPoint({ subgroup, atMs, value }, value, lines), sigma: lines?.sigma ?? null }],
      };
    },
  };
}

function schemeOf({ scheme }: SizedSet): NonNullable<LimitSet["scheme"]> {
  if (scheme === undefined) throw new RangeError("limits of subgroups need the scheme that their lines follow from");
  return scheme;
}

function numbers({ centre, sigma, lower, upper }: ReturnType<typeof evenLines>): Limits {
  // Of one size there is one number for each line.
  return { centre, sigma, lower, upper } as Limits;
}
