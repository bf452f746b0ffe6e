import type { ChartDesign } from "../model/chart-design.ts";
import { columnOf } from "../model/column.ts";
import type { Counted } from "../model/counted.ts";
import type { DrawnCharts } from "../model/drawn-chart.ts";
import type { Outcome } from "../model/outcome.ts";
import { ok, refuse } from "../model/outcome.ts";
import { countCautions } from "./count-cautions.ts";
import type { CountForm } from "./count-law.ts";
import type { CountLine } from "./count-lines.ts";
import { countLine, countLines } from "./count-lines.ts";
import type { CountTotals } from "./count-totals.ts";
import { countTotals } from "./count-totals.ts";
import type { PlottedSeries } from "./lines.ts";
import { provenanceOf, refusedCharts, withLines } from "./lines.ts";

/**
 * Chart of counts: what was found at each place, against what chance lets be found in a sample of that size.
 *
 * @shape   counts with sizes by place; the form; the design, whose centre is that of the plotted statistic
 * @unit    counts, or counts for one unit of size
 * @method  rate = counts over sizes within the baseline; lines by `countLine`
 * @refuses unequal-sizes for np and c; too-few below two places; zero-variation where the rate leaves nothing to vary;
 *          spread-follows-centre for a given sigma or the basis `overall`
 * @throws  RangeError as `countTotals` does, and for a centre that no rate has: a defect in the caller
 * @cost    O(n)
 * @source  NIST/SEMATECH e-Handbook 6.3.3.1 and 6.3.3.2; ISO 7870-2 (from memory)
 * @checked tests/unit/spc/attributes/count-chart.test.ts
 */
export function drawCounts(data: Counted, design: ChartDesign, form: CountForm): DrawnCharts {
  const totals = countTotals(data, form.law, design);
  const found =
    design.sigma !== null || design.basis === "overall" ? spreadFollowsCentre() : countRate(form, totals, design);
  const series = countSeries(data, form, form.kind);
  if (!found.ok) return refusedCharts([series], design, found.refusal);
  const rate = found.value;
  const line = (size: number): CountLine => countLine(form, design, size, rate);
  const provenance = provenanceOf(design, design.centre === null ? form.law : "given", totals.n);
  const chart = withLines(series, provenance, countLines(data.sizes, totals.size, line));
  const cautions = countCautions(data, form, totals, rate, design, line);
  return { charts: [chart], sigmaWithin: null, dfWithin: null, cautions };
}

/**
 * Rate behind a chart of counts: the one given, or the one of the baseline.
 *
 * @shape   the form, the totals, the design
 * @unit    counts for one unit of size
 * @method  a given centre is that of the plotted statistic; for np and c it is taken over their one size
 * @refuses unequal-sizes, too-few, zero-variation, not-finite
 * @throws  RangeError for a centre below zero, or of more than all pieces: a defect in the caller
 * @source  NIST/SEMATECH e-Handbook 6.3.3.2
 * @checked tests/unit/spc/attributes/count-chart.test.ts
 */
export function countRate(form: CountForm, totals: CountTotals, design: ChartDesign): Outcome<number> {
  const { n, size, sizes } = totals;
  const other = form.law === "binomial" ? "p" : "u";
  if (sizes[1] > 0 && size === null && form.plots === "count")
    return refuse(
      "unequal-sizes",
      `sizes lie between ${sizes[0]} and ${sizes[1]}, and counts of unequal samples cannot be compared: the form ${other} can`,
    );
  if (sizes[1] === 0) return refuse("too-few", "no place has a count in a sample", { needs: 2, has: 0 });
  if (design.centre === null && n < 2)
    return refuse("too-few", `2 samples are needed for limits, the baseline has ${n}`, { needs: 2, has: n });
  const given = design.centre === null ? null : form.plots === "count" ? design.centre / size! : design.centre;
  const rate = given ?? totals.rate;
  if (given !== null && !(given >= 0 && (form.law === "poisson" || given <= 1)))
    throw new RangeError(`a centre of ${design.centre} is none that counts can have`);
  if (!Number.isFinite(rate)) return refuse("not-finite", "the sizes leave the range of numbers");
  if (rate === 0) return refuse("zero-variation", "nothing was found in the baseline, so no limits follow from it");
  if (form.law === "binomial" && rate === 1)
    return refuse("zero-variation", "every piece was counted, so nothing can vary");
  return ok(rate);
}

/**
 * Plotted counts: what stands at each place before there are lines.
 *
 * @shape   counts with sizes, what is plotted of them, and what the chart is called
 * @unit    counts, or counts for one unit of size
 * @method  a place without a count or a size has no value, nor has one of size zero
 * @cost    O(n)
 * @source  definition
 * @checked tests/unit/spc/attributes/count-chart.test.ts
 */
export function countSeries(data: Counted, form: Pick<CountForm, "plots">, kind: string): PlottedSeries {
  const { counts, sizes, anew } = data;
  const values = new Float64Array(counts.length).fill(Number.NaN);
  for (let place = 0; place < values.length; place += 1) {
    const size = typeof sizes.raw === "number" ? sizes.raw : sizes.raw[place]!;
    const count = typeof counts.raw === "number" ? counts.raw : counts.raw[place]!;
    if (size > 0 && Number.isFinite(size)) values[place] = form.plots === "rate" ? count / size : count;
  }
  return { kind, values: columnOf(values), patterns: "first-four", anew };
}

function spreadFollowsCentre(): Outcome<number> {
  return refuse(
    "spread-follows-centre",
    "the spread of counts follows from their centre: a sigma or the basis overall has no place here, p-prime and u-prime take both",
  );
}
