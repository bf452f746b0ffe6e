import type { ChartDesign } from "../model/chart-design.ts";
import { usualDesign } from "../model/chart-design.ts";
import type { Counted } from "../model/counted.ts";
import type { Caution, DrawnCharts } from "../model/drawn-chart.ts";
import type { Grouped } from "../model/grouped.ts";
import type { Outcome } from "../model/outcome.ts";
import { ok, refuse } from "../model/outcome.ts";
import type { SigmaEstimate } from "../sigma/location.ts";
import { estimateLocation } from "../sigma/location.ts";
import { countRate, countSeries } from "./count-chart.ts";
import type { CountForm, CountLaw } from "./count-law.ts";
import { countVariance } from "./count-law.ts";
import type { CountLine } from "./count-lines.ts";
import { countLine, countLines } from "./count-lines.ts";
import { countTotals } from "./count-totals.ts";
import { provenanceOf, refusedCharts, withLines } from "./lines.ts";

/** What the two widened charts alone need. */
export interface LaneyOptions {
  /** Lets a sigma of z below one narrow the limits; without it they stay those of the p or u chart. */
  readonly narrow?: boolean;
}

/**
 * Laney chart: counts of large samples, whose rate itself wanders, against limits widened by how much it does.
 *
 * @shape   counts with sizes by place; the law; the design, whose sigma is that of z; options
 * @unit    counts for one unit of size
 * @method  z = (rate at the place - rate) / sigma at the place, sigma of z by moving range / d2(2) (basis `overall`: by s),
 *          limits k sigma times sigma of z to either side. Below one it widens nothing: it is told, and narrows only
 *          when asked to. No range bridges a missing place
 * @refuses as a p or u chart; too-few without neighbouring places; zero-variation when all z are equal; no-exact-limits
 * @throws  RangeError for counts that cannot be: a defect in the caller
 * @cost    O(n)
 * @source  Laney 2002, Quality Engineering 14:531-537 (formula seen on secondary pages)
 * @checked tests/reference/spc/attributes/laney.test.ts
 */
export function drawLaney(data: Counted, design: ChartDesign, law: CountLaw, options: LaneyOptions): DrawnCharts {
  const form: CountForm = { kind: law === "binomial" ? "p" : "u", law, plots: "rate" };
  const totals = countTotals(data, law, design);
  const rate = countRate(form, totals, design);
  const found = rate.ok ? laneySigma(data, design, law, rate.value) : rate;
  const series = countSeries(data, form, `${form.kind}-prime`);
  if (!rate.ok) return refusedCharts([series], design, rate.refusal);
  if (!found.ok) return refusedCharts([series], design, found.refusal);
  const { sigma, estimator } = found.value;
  const widened = options.narrow === true || design.sigma !== null ? sigma : Math.max(1, sigma);
  const line = (size: number): CountLine => countLine(form, design, size, rate.value, widened);
  const lines = countLines(data.sizes, totals.size, line);
  const chart = withLines(series, provenanceOf(design, estimator, totals.n), lines);
  const cautions = estimator === "given" || sigma >= 1 ? [] : [below(sigma, widened)];
  return { charts: [chart], sigmaWithin: null, dfWithin: null, cautions };
}

/**
 * Sigma of z: how many times more than their law gives do counts scatter from one place to the next.
 *
 * @shape   counts with sizes by place, the design, the law and the rate
 * @unit    dimensionless, 1 where the law holds
 * @method  as individuals: mean moving range of z over d2(2); s with n - 1 on the basis `overall`; a given sigma as it is
 * @refuses too-few, zero-variation, no-exact-limits
 * @cost    O(n)
 * @source  Laney 2002, Quality Engineering 14:531-537 (formula seen on secondary pages)
 * @checked tests/reference/spc/attributes/laney.test.ts
 */
export function laneySigma(data: Counted, design: ChartDesign, law: CountLaw, rate: number): Outcome<SigmaEstimate> {
  if (design.limits === "exact")
    return refuse("no-exact-limits", "counts that scatter more than their law gives have no exact limits");
  if (design.sigma !== null)
    return ok({ estimator: "given", centre: 0, sigma: design.sigma, df: null, n: data.counts.length });
  const z = countScores(data, law, rate);
  return estimateLocation(z, { ...usualDesign(design.baseline), basis: design.basis });
}

/**
 * Scores of counts: how far each rate lies from the whole, in sigma of its own size.
 *
 * @shape   counts with sizes by place, the law and the rate; a place that cannot be evaluated has an empty subgroup
 * @unit    dimensionless
 * @method  z = (count - n rate) / sqrt(variance of the count)
 * @cost    O(n)
 * @source  Laney 2002, Quality Engineering 14:531-537 (formula seen on secondary pages)
 * @checked tests/reference/spc/attributes/laney.test.ts
 */
export function countScores({ counts, sizes, anew }: Counted, law: CountLaw, rate: number): Grouped {
  const z = new Float64Array(counts.length);
  const starts = new Uint32Array(counts.length + 1);
  let there = 0;
  for (let place = 0; place < counts.length; place += 1) {
    const count = typeof counts.raw === "number" ? counts.raw : counts.raw[place]!;
    const size = typeof sizes.raw === "number" ? sizes.raw : sizes.raw[place]!;
    const score = (count - size * rate) / Math.sqrt(countVariance(law, size, rate));
    if (size > 0 && Number.isFinite(score)) {
      z[there] = score;
      there += 1;
    }
    starts[place + 1] = there;
  }
  return { values: z.subarray(0, there), starts, anew };
}

function below(sigma: number, widened: number): Caution {
  const kept = widened === sigma ? "the limits are narrowed, as asked" : "the limits are left as wide as without it";
  const text = `sigma of z is ${sigma.toPrecision(3)}, below 1: counts scatter less than chance makes them, by mixed sources or figures that were not counted; ${kept}`;
  return { code: "underdispersed", text };
}
