import type { ChartDesign } from "../model/chart-design.ts";
import type { Caution, DrawnCharts } from "../model/drawn-chart.ts";
import type { Grouped } from "../model/grouped.ts";
import { subgroupCount } from "../model/grouped.ts";
import type { Outcome, Refusal } from "../model/outcome.ts";
import { ok, refuse } from "../model/outcome.ts";
import { checkDesign } from "../sigma/check-design.ts";
import type { SigmaEstimate } from "../sigma/location.ts";
import { estimateLocation } from "../sigma/location.ts";
import { movingRangesOf } from "../sigma/moving-ranges.ts";
import { subgroupAverages, subgroupSizes } from "../sigma/subgroup-moments.ts";
import { subgroupRanges } from "../sigma/subgroup-ranges.ts";
import { countThere, drawnChart, evenLines, refusedCharts, seriesOf } from "./lines.ts";
import { movingRangeLines, rangeLines } from "./spread-lines.ts";

/** Mean of a part and sigma of its single values, frozen. */
export interface PartModel {
  readonly mean: number;
  readonly sigma: number;
}

/** Name of a part. */
export type Part = string | number;

/** Standardised charts, and what was frozen of each part. */
export interface DrawnZW extends DrawnCharts {
  readonly models: ReadonlyMap<Part, PartModel>;
}

/**
 * Standardised charts: parts of different means and sigmas on one chart, in the order in which they were made.
 *
 * @shape   grouped values in time order, not sorted by part; the part of each subgroup; the design; means and sigmas of
 *          parts that are known
 * @unit    sigma of the plotted average (z), sigma of single values (w)
 * @method  z = (x - mean) sqrt(n) / sigma of the part, limits 0 +- k; w = |z - z before|, or the range over sigma of the
 *          part where subgroups have several values. What is not known of a part is estimated from its own subgroups in
 *          the baseline, as `estimateLocation` has it
 * @refuses too-few, zero-variation, not-finite where no part has a mean and sigma: then the charts stand without lines.
 *          A part without them has no points, and a caution says so
 * @throws  RangeError for a part lacking, a known sigma not above zero, a design with a centre or sigma of its own, or one
 *          that cannot be meant: a defect in the caller
 * @cost    O(n)
 * @source  Bothe 1988; Farnum 1992, Journal of Quality Technology 24:138-144 (both from memory)
 * @checked tests/reference/spc/short-run/deviation.test.ts
 */
export function drawZW(
  data: Grouped,
  parts: ArrayLike<Part>,
  design: ChartDesign,
  known: ReadonlyMap<Part, Partial<PartModel>> = new Map(),
): DrawnZW {
  const count = subgroupCount(data);
  checkDesign(design, count);
  if (parts.length !== count) throw new RangeError(`${count} subgroups need a part each, got ${parts.length}`);
  if (design.centre !== null || design.sigma !== null)
    throw new RangeError("what is given for standardised charts is given part by part");
  const { models, estimators, refused } = modelsOf(data, parts, design, known);
  const z = standardised(subgroupAverages(data), data.starts, parts, models);
  const sizes = subgroupSizes(data.starts);
  const several = sizes.largest > 1;
  const w = several ? rangesOverSigma(data, parts, models) : movingRangesOf(z, data.anew);
  const location = seriesOf("z", z, "all", data.anew);
  const spread = seriesOf("w", w, "limit", data.anew);
  const cautions = refused.map(([part, { detail }]): Caution => {
    return { code: "part-without-limits", text: `part ${part} has no mean and sigma: ${detail}` };
  });
  if (models.size === 0) {
    const refusal = refused[0]?.[1] ?? refuse("too-few", "no subgroup has a value", { needs: 2, has: 0 }).refusal;
    return { ...refusedCharts([location, spread], design, refusal), cautions, models };
  }
  const estimator = [...new Set(estimators)].join(", ");
  const used = [location, spread].map(({ values }) => countThere(values, design.baseline));
  const lines = several ? rangeLines(sizes, 1, design) : movingRangeLines(1, design);
  return {
    charts: [
      drawnChart(location, design, estimator, used[0]!, ok(evenLines(0, 1, design.k))),
      drawnChart(spread, design, estimator, used[1]!, lines),
    ],
    sigmaWithin: null,
    dfWithin: null,
    cautions,
    models,
  };
}

function modelsOf(
  data: Grouped,
  parts: ArrayLike<Part>,
  design: ChartDesign,
  known: ReadonlyMap<Part, Partial<PartModel>>,
) {
  const models = new Map<Part, PartModel>();
  const estimators: string[] = [];
  const refused: [Part, Refusal][] = [];
  for (const [part, { mean = 0, sigma = 1 }] of known) {
    if (!(Number.isFinite(mean) && Number.isFinite(sigma) && sigma > 0))
      throw new RangeError(`part ${part} needs a mean and a sigma above zero, got ${mean} and ${sigma}`);
  }
  for (const [part, places] of placesByPart(data, parts)) {
    const { mean, sigma } = known.get(part) ?? {};
    if (mean !== undefined && sigma !== undefined) {
      models.set(part, { mean, sigma });
      estimators.push("given");
      continue;
    }
    const found = estimated(data, places, { ...design, centre: mean ?? null, sigma: sigma ?? null });
    if (!found.ok) refused.push([part, found.refusal]);
    else {
      models.set(part, { mean: found.value.centre, sigma: found.value.sigma });
      estimators.push(found.value.estimator);
    }
  }
  return { models, estimators, refused };
}

/** The places at which each part has a value, ascending; ten million of them fit. */
function placesByPart({ starts }: Grouped, parts: ArrayLike<Part>): ReadonlyMap<Part, Uint32Array> {
  const counts = new Map<Part, number>();
  for (let i = 0; i < parts.length; i += 1) {
    if (starts[i] !== starts[i + 1]) counts.set(parts[i]!, (counts.get(parts[i]!) ?? 0) + 1);
  }
  const places = new Map([...counts].map(([part, count]) => [part, new Uint32Array(count)]));
  for (let i = parts.length - 1; i >= 0; i -= 1) {
    if (starts[i] === starts[i + 1]) continue;
    const left = counts.get(parts[i]!)! - 1;
    counts.set(parts[i]!, left);
    places.get(parts[i]!)![left] = i;
  }
  return places;
}

/** A part's own subgroups in the baseline, one after the other, whatever was made between them. */
function estimated({ values, starts }: Grouped, places: Uint32Array, design: ChartDesign): Outcome<SigmaEstimate> {
  const { from, to } = design.baseline;
  const own = places.subarray(countBelow(places, from), countBelow(places, to));
  const ownStarts = new Uint32Array(own.length + 1);
  own.forEach((place, i) => {
    ownStarts[i + 1] = ownStarts[i]! + starts[place + 1]! - starts[place]!;
  });
  const ownValues = new Float64Array(ownStarts[own.length]!);
  own.forEach((place, i) => {
    ownValues.set(values.subarray(starts[place]!, starts[place + 1]!), ownStarts[i]!);
  });
  const grouped = { values: ownValues, starts: ownStarts, anew: [] };
  return estimateLocation(grouped, { ...design, baseline: { from: 0, to: own.length } });
}

/** How many of some ascending places lie below a place. */
function countBelow(places: Uint32Array, place: number): number {
  let [from, to] = [0, places.length];
  while (from < to) {
    const middle = (from + to) >> 1;
    if (places[middle]! < place) from = middle + 1;
    else to = middle;
  }
  return from;
}

function standardised(
  averages: Float64Array,
  starts: Uint32Array,
  parts: ArrayLike<Part>,
  models: ReadonlyMap<Part, PartModel>,
): Float64Array {
  return averages.map((average, i) => {
    const model = models.get(parts[i]!);
    if (model === undefined) return Number.NaN;
    const z = ((average - model.mean) / model.sigma) * Math.sqrt(starts[i + 1]! - starts[i]!);
    return Number.isFinite(z) ? z : Number.NaN;
  });
}

function rangesOverSigma(data: Grouped, parts: ArrayLike<Part>, models: ReadonlyMap<Part, PartModel>): Float64Array {
  return subgroupRanges(data).map((range, i) => range / (models.get(parts[i]!)?.sigma ?? Number.NaN));
}
