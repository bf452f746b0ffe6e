import { chiSquareCdf } from "../library/chi-square.ts";
import type { Counted } from "../model/counted.ts";
import type { Span } from "../model/grouped.ts";
import type { CountLaw } from "./count-law.ts";
import { countVariance } from "./count-law.ts";

/** Whether counts scatter as their law says. */
export interface CountDispersion {
  /** Sum of z squared. */
  readonly statistic: number;
  readonly df: number;
  /** Chance of as much scatter, or more, under the law. */
  readonly pOver: number;
  /** Chance of as little, or less. */
  readonly pUnder: number;
}

/**
 * Dispersion of counts: whether they scatter more, or less, than chance alone makes counts scatter.
 *
 * @shape   counts with sizes, the law, the rate of the baseline itself, and the baseline
 * @unit    dimensionless
 * @method  D = sum z^2 over the baseline, z = (count - n rate) / sqrt(variance), against chi-square with one degree of
 *          freedom less than places. About the baseline's own rate, because a given one that is off is no scatter. Null
 *          below two places or one expected count a place, where D is no chi-square
 * @cost    O(n)
 * @source  index of dispersion, Fisher 1925 (from memory)
 * @checked tests/unit/spc/attributes/count-chart.test.ts
 */
export function countDispersion(data: Counted, law: CountLaw, rate: number, baseline: Span): CountDispersion | null {
  const { counts, sizes } = data;
  let statistic = 0;
  let n = 0;
  let expected = 0;
  for (let place = baseline.from; place < baseline.to; place += 1) {
    const count = typeof counts.raw === "number" ? counts.raw : counts.raw[place]!;
    const size = typeof sizes.raw === "number" ? sizes.raw : sizes.raw[place]!;
    if (!Number.isFinite(count) || !(size > 0)) continue;
    n += 1;
    expected += size * rate;
    statistic += (count - size * rate) ** 2 / countVariance(law, size, rate);
  }
  if (n < 2 || !(expected >= n) || !Number.isFinite(statistic)) return null;
  const df = n - 1;
  const pUnder = chiSquareCdf(statistic, df);
  return { statistic, df, pOver: Math.max(0, 1 - pUnder), pUnder };
}
