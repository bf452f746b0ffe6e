import { normalCdf } from "../library/normal.ts";
import type { ChartDesign } from "../model/chart-design.ts";
import type { Column } from "../model/column.ts";
import type { CountForm } from "./count-law.ts";
import { countVariance, exactLimits } from "./count-law.ts";
import type { Lines } from "./lines.ts";

/** The lines of one place, in the unit that is plotted. */
export interface CountLine {
  readonly centre: number;
  readonly sigma: number;
  readonly lower: number;
  readonly upper: number;
}

/** Sizes whose lines are remembered, so that exact limits are not sought anew at every place. */
const REMEMBERED = 4096;

/**
 * Lines of counts at one size: what chance lets the plotted statistic reach.
 *
 * @shape   the form, the design, a size above zero, the rate, and by how much sigma is widened (1 for none)
 * @unit    that of the plotted statistic
 * @method  centre -+ k sigma with the size's own sigma, cut at 0, which is on the limit and so never beyond it, and for
 *          the binomial at all pieces; or the exact limits with the chance that k has in a normal
 * @source  NIST/SEMATECH e-Handbook 6.3.3.1 and 6.3.3.2
 * @checked tests/reference/spc/attributes/p.test.ts
 */
export function countLine(form: CountForm, design: ChartDesign, size: number, rate: number, widened = 1): CountLine {
  const per = form.plots === "rate" ? size : 1;
  const centre = form.plots === "rate" ? rate : size * rate;
  const sigma = (Math.sqrt(countVariance(form.law, size, rate)) / per) * widened;
  if (design.limits === "exact") {
    const { lower, upper } = exactLimits(form.law, size, rate, 2 * normalCdf(-design.k));
    return { centre, sigma, lower: lower / per, upper: upper / per };
  }
  const most = form.law === "binomial" ? size / per : Number.POSITIVE_INFINITY;
  const upper = Math.min(most, centre + design.k * sigma);
  return { centre, sigma, lower: Math.max(0, centre - design.k * sigma), upper };
}

/**
 * Lines of counts over all sizes: one line for each place, or one for all where the size is the same.
 *
 * @shape   sizes by place, the one size where there is but one, and what gives the lines of a size
 * @unit    that of the plotted statistic
 * @method  a place without a size, or whose lines leave the range of numbers, has no limits
 * @cost    O(n)
 * @source  NIST/SEMATECH e-Handbook 6.3.3.2
 * @checked tests/unit/spc/attributes/count-chart.test.ts
 */
export function countLines(sizes: Column, same: number | null, line: (size: number) => CountLine): Lines {
  if (same !== null) return usable(line(same)) ?? { centre: null, sigma: null, lower: null, upper: null };
  const none = (): Float64Array => new Float64Array(sizes.length).fill(Number.NaN);
  const [sigmas, lowers, uppers] = [none(), none(), none()];
  // Where sizes differ rates are plotted, and those have one centre for all sizes.
  let centre: number | null = null;
  const known = new Map<number, CountLine>();
  for (let place = 0; place < sizes.length; place += 1) {
    const size = typeof sizes.raw === "number" ? sizes.raw : sizes.raw[place]!;
    if (!(size > 0)) continue;
    let found = known.get(size);
    if (found === undefined) {
      found = line(size);
      if (known.size >= REMEMBERED) known.clear();
      known.set(size, found);
    }
    if (usable(found) === null) continue;
    centre ??= found.centre;
    sigmas[place] = found.sigma;
    lowers[place] = found.lower;
    uppers[place] = found.upper;
  }
  return { centre, sigma: sigmas, lower: lowers, upper: uppers };
}

/** All or none: a place must not be judged by the one limit that could be had. */
function usable(line: CountLine): CountLine | null {
  return Number.isFinite(line.sigma) && Number.isFinite(line.upper) ? line : null;
}
