import { fCdf } from "../library/fisher-f.ts";
import type { ChartDesign } from "../model/chart-design.ts";
import type { Caution } from "../model/drawn-chart.ts";
import type { Grouped } from "../model/grouped.ts";

/** Chance below which parts count as varying unlike. */
const UNLIKELY = 0.01;
/** Values of a part without which nothing is said of it. */
const LEAST = 3;

/**
 * Caution where parts do not vary alike, so that one sigma is wrong for all of them.
 *
 * @shape   grouped values; what part each subgroup is of; the design, whose baseline is looked at
 * @unit    dimensionless
 * @method  Levene's test about the medians of the parts that have three values or more; below 1 %
 * @cost    O(n log n) of the baseline
 * @source  Brown and Forsythe 1974, Journal of the American Statistical Association 69:364-367 (from memory)
 * @checked tests/unit/spc/short-run/deviation.test.ts
 */
export function partsCaution(
  { values, starts }: Grouped,
  parts: ArrayLike<number | string | null>,
  { baseline }: ChartDesign,
): readonly Caution[] {
  const sizes = new Map<number | string | null, number>();
  for (let i = baseline.from; i < baseline.to; i += 1) {
    const part = parts[i] ?? null;
    sizes.set(part, (sizes.get(part) ?? 0) + starts[i + 1]! - starts[i]!);
  }
  const byPart = new Map(Array.from(sizes, ([part, size]) => [part, new Float64Array(size)]));
  for (let i = baseline.to - 1; i >= baseline.from; i -= 1) {
    const part = parts[i] ?? null;
    const before = sizes.get(part)! - (starts[i + 1]! - starts[i]!);
    sizes.set(part, before);
    byPart.get(part)!.set(values.subarray(starts[i]!, starts[i + 1]!), before);
  }
  const chance = leveneChance([...byPart.values()].filter((own) => own.length >= LEAST));
  if (chance === null || chance >= UNLIKELY) return [];
  const text = `parts do not vary alike (chance ${chance.toPrecision(2)}): one sigma is wrong for some of them`;
  return [{ code: "unequal-parts", text }];
}

/**
 * Levene's test: the chance that groups which vary alike differ as much in spread.
 *
 * @shape   groups of finite values; null without two groups, or where nothing varies within them
 * @unit    dimensionless, 0 to 1
 * @method  F of the distances from each group's median between groups, over that within
 * @cost    O(n log n)
 * @source  Brown and Forsythe 1974, Journal of the American Statistical Association 69:364-367 (from memory)
 * @checked tests/unit/spc/short-run/deviation.test.ts
 */
export function leveneChance(groups: readonly ArrayLike<number>[]): number | null {
  const distances = groups.map(distancesFromMedian);
  const n = distances.reduce((sum, own) => sum + own.length, 0);
  const k = distances.length;
  if (k < 2 || n <= k) return null;
  const means = distances.map((own) => own.reduce((sum, d) => sum + d / own.length, 0));
  const grand = distances.reduce((sum, own, i) => sum + (means[i]! * own.length) / n, 0);
  const between = distances.reduce((sum, own, i) => sum + own.length * (means[i]! - grand) ** 2, 0) / (k - 1);
  const squares = distances.map((own, i) => own.reduce((sum, d) => sum + (d - means[i]!) ** 2, 0));
  const within = squares.reduce((a, b) => a + b, 0) / (n - k);
  const f = between / within;
  return Number.isFinite(f) ? 1 - fCdf(f, k - 1, n - k) : null;
}

function distancesFromMedian(group: ArrayLike<number>): Float64Array {
  const sorted = Float64Array.from(group).sort();
  const middle = (sorted[(sorted.length - 1) >> 1]! + sorted[sorted.length >> 1]!) / 2;
  for (let i = 0; i < sorted.length; i += 1) sorted[i] = Math.abs(sorted[i]! - middle);
  return sorted;
}
