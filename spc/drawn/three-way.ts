import type { ChartDesign } from "../model/chart-design.ts";
import type { Caution, DrawnChart, DrawnCharts } from "../model/drawn-chart.ts";
import type { Grouped } from "../model/grouped.ts";
import { subgroupCount } from "../model/grouped.ts";
import { betweenWithinFrom } from "../sigma/between-within.ts";
import { checkDesign } from "../sigma/check-design.ts";
import { baselineOf, locationFrom } from "../sigma/location.ts";
import type { SubgroupMoments } from "../sigma/subgroup-moments.ts";
import { subgroupMoments } from "../sigma/subgroup-moments.ts";
import { subgroupRanges } from "../sigma/subgroup-ranges.ts";
import { finiteOnes } from "../stats/finite.ts";
import { drawIndividuals } from "./individuals.ts";
import type { PlottedSeries } from "./lines.ts";
import { countThere, drawnChart, refusedChart, seriesOf } from "./lines.ts";
import { rangeLines, sLines } from "./spread-lines.ts";

/**
 * Three-way charts: averages where something rightly acts between subgroups, as between furnace heats or batches.
 *
 * @shape   grouped values in time order; sizes may differ, a subgroup of one has no point on the spread within
 * @unit    that of the characteristic
 * @method  averages as single values, by their own moving ranges; those moving ranges; and s (or the range) within. A
 *          given sigma is that within subgroups, a given centre that of the averages; on the basis `overall` the
 *          averages alone widen, to k of their own s. Variance between and within as `betweenWithin` has it
 * @refuses too-few, zero-variation, not-finite, chance-too-small: then the charts concerned stand without lines
 * @throws  RangeError for a design that cannot be meant or a value that is no number: a defect in the caller
 * @cost    O(n)
 * @source  Woodall & Thomas 1995, IIE Transactions 27:757-764 (from memory); NIST/SEMATECH e-Handbook 6.6.1
 * @checked tests/reference/spc/drawn-variables/three-way.test.ts
 */
export function drawThreeWay(
  data: Grouped,
  design: ChartDesign,
  within: "standard-deviation" | "range" = "standard-deviation",
): DrawnCharts {
  checkDesign(design, subgroupCount(data));
  const moments = subgroupMoments(data);
  const averages = drawIndividuals(averagesAsSingles(data, moments), { ...design, sigma: null });
  const spreads = within === "range" ? subgroupRanges(data) : moments.sds;
  const spread = drawSpread(data, design, moments, seriesOf(within, spreads, "limit", data.anew));
  const [location, movingRange] = averages.charts;
  return {
    charts: [{ ...location!, kind: "average" }, movingRange!, spread.chart],
    sigmaWithin: spread.sigma,
    dfWithin: spread.df,
    cautions: cautionsOf(data, design, moments),
  };
}

/** Averages, each its own subgroup; one that left the range of numbers is none. */
function averagesAsSingles({ anew }: Grouped, { means }: SubgroupMoments): Grouped {
  const starts = new Uint32Array(means.length + 1);
  for (let i = 0; i < means.length; i += 1) starts[i + 1] = starts[i]! + (Number.isFinite(means[i]!) ? 1 : 0);
  return { values: finiteOnes(means), starts, anew };
}

function drawSpread(
  data: Grouped,
  design: ChartDesign,
  { means, sds }: SubgroupMoments,
  series: PlottedSeries,
): { readonly chart: DrawnChart; readonly sigma: number | null; readonly df: number | null } {
  const { from, to } = design.baseline;
  const ownBasis: ChartDesign = { ...design, basis: "chart" };
  const prefer = series.kind === "range" ? "mean-range" : "mean-s";
  const baseline = baselineOf(data, design);
  const found = locationFrom(baseline, ownBasis, means.subarray(from, to), sds.subarray(from, to), prefer);
  if (!found.ok) return { chart: refusedChart(series, design, found.refusal), sigma: null, df: null };
  const { estimator, sigma, df } = found.value;
  const lines = (series.kind === "range" ? rangeLines : sLines)(data.starts, sigma, design);
  const chart = drawnChart(series, design, estimator, countThere(series.values, design.baseline), lines);
  return { chart, sigma, df };
}

/** How the variance splits; said even where it comes out below zero, which it may by chance. */
function cautionsOf(data: Grouped, design: ChartDesign, { means, sds }: SubgroupMoments): readonly Caution[] {
  const { from, to } = design.baseline;
  const found = betweenWithinFrom(baselineOf(data, design), means.subarray(from, to), sds.subarray(from, to));
  if (!found.ok) return [];
  const { within, between, betweenRaw } = found.value;
  const share = ((100 * between) / (within + between)).toPrecision(3);
  const raw = betweenRaw < 0 ? `, which came out at ${betweenRaw.toPrecision(4)} and is taken as none` : "";
  const text = `variance within subgroups ${within.toPrecision(4)}, between them ${between.toPrecision(4)} (${share} %)${raw}`;
  return [{ code: "between-within", text }];
}
