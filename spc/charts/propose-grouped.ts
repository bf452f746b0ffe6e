import { drawAveragesWithS } from "../drawn/averages-s.ts";
import type { DrawnEwma } from "../drawn/ewma.ts";
import { drawEwma } from "../drawn/ewma.ts";
import { evenLines } from "../drawn/lines.ts";
import { usualEwma } from "../model/characteristic.ts";
import type { Limits, Subgroup } from "../model/chart.ts";
import type { ChartDesign } from "../model/chart-design.ts";
import { usualDesign } from "../model/chart-design.ts";
import type { DrawnChart, DrawnCharts } from "../model/drawn-chart.ts";
import type { Grouped } from "../model/grouped.ts";
import { apartPlaces, subgroups as groupedOf } from "../model/grouped.ts";
import type { LimitScheme } from "../model/limit-set.ts";
import type { Outcome } from "../model/outcome.ts";
import { ok, refuse } from "../model/outcome.ts";
import { judge } from "../model/point.ts";
import type { ProposedLimits } from "../model/proposal.ts";
import type { SigmaEstimate } from "../sigma/location.ts";
import { estimateLocation } from "../sigma/location.ts";
import { subgroupAverages } from "../sigma/subgroup-moments.ts";
import { subgroupRanges } from "../sigma/subgroup-ranges.ts";
import { distinctValues } from "../stats/distinct.ts";
import { LEAST_DISTINCT } from "../stats/thresholds.ts";
import { LARGEST, LEAST_VALUES } from "./baseline-values.ts";
import { ewmaVariance } from "./ewma-width.ts";
import { isGap } from "./gap.ts";
import { INDIVIDUALS_K } from "./individuals.ts";
import { diagnosed } from "./limit-diagnostics.ts";
import { movingRange } from "./moving-range.ts";
import type { BaselineRequest } from "./propose-limits.ts";
import { baselineOf } from "./propose-limits.ts";
import { rationalSubgroups } from "./rational-subgroups.ts";
import { averageLinesOf, standardDeviationLinesOf } from "./subgroup-live.ts";

/** What both charts rest on, with all their lines. */
interface Found {
  readonly charts: readonly [string, string];
  readonly location: Limits;
  readonly spread: Limits;
  readonly scheme: LimitScheme;
  readonly estimator: string;
  readonly drawn: DrawnCharts;
}

/**
 * Proposed limits of subgroups or of an EWMA: Phase 1 by the very functions that draw whole series.
 *
 * @shape   what was asked, and the runs that are kept, one a subgroup, in time order
 * @unit    that of the characteristic
 * @method  runs grouped as `rationalSubgroups` does; centre and sigma as `estimateLocation`, of an EWMA as `drawEwma`.
 *          `location` and `spread` are the lines of a full subgroup, those of an EWMA where they settle
 * @refuses too-few under 25 points; not-a-number for a value above 1e150; zero-variation, not-finite as `estimateLocation`
 * @throws  RangeError for averages without subgroups of two or more: a defect in the caller
 * @cost    O(n log n)
 * @source  as `drawAveragesWithS` and `drawEwma`; least count: common practice, no source
 * @checked tests/property/spc/monitor/live-equals-drawn.test.ts
 */
export function proposeGrouped(request: BaselineRequest, runs: readonly Subgroup[]): Outcome<ProposedLimits> {
  const size = request.subgroup?.runs ?? 1;
  const averages = request.pair === "averages-with-s";
  if (averages && !(size >= 2)) throw new RangeError(`averages need subgroups of two or more, got ${size}`);
  const everyMs = request.everyMs * size;
  const subgroups = rationalSubgroups(runs, size, request.everyMs);
  const data = grouped(subgroups, everyMs);
  if (!data.values.every((value) => Math.abs(value) < LARGEST)) {
    return refuse("not-a-number", "a value is no finite number, or too large to be squared");
  }
  const points = subgroups.filter(({ values }) => values.length > 0).length;
  if (points < LEAST_VALUES) {
    const what = size > 1 ? `subgroups of ${size} runs` : "values";
    return refuse("too-few", `${LEAST_VALUES} ${what} are needed, ${points} are there`, {
      needs: LEAST_VALUES,
      has: points,
    });
  }
  const design = { ...usualDesign({ from: 0, to: subgroups.length }), basis: request.basis };
  const found = averages ? averagesFrom(data, design, size) : ewmaFrom(data, design, request, size);
  if (!found.ok) return found;
  const { drawn, ...lines } = found.value;
  return ok({
    ...{ basis: request.basis, ...lines, k: INDIVIDUALS_K, unit: request.unit, rules: request.rules },
    baseline: baselineOf(request, subgroups),
    diagnostics: diagnosticsOf(data, subgroups, lines, everyMs, drawn),
  });
}

function averagesFrom(data: Grouped, design: ChartDesign, runs: number): Outcome<Found> {
  const location = estimateLocation(data, design);
  if (!location.ok) return location;
  const within = estimateLocation(data, { ...design, basis: "chart" });
  if (!within.ok) return within;
  const { centre, sigma, estimator } = location.value;
  const scheme: LimitScheme = { runs, sigma, sigmaWithin: within.value.sigma };
  const sized = { location: { centre, lower: centre, upper: centre, sigma }, scheme, k: design.k };
  const drawn = drawAveragesWithS(data, design);
  return ok({
    ...{ charts: ["average", "standard-deviation"], scheme, estimator, drawn },
    location: averageLinesOf(sized, runs),
    // Two runs or more have a spread.
    spread: standardDeviationLinesOf(sized, runs)!,
  });
}

function ewmaFrom(data: Grouped, design: ChartDesign, { ewma }: BaselineRequest, runs: number): Outcome<Found> {
  const words = ewma ?? usualEwma;
  const drawn: DrawnEwma = drawEwma(data, design, words);
  const [location, spread] = drawn.charts as readonly [DrawnChart, DrawnChart];
  if (drawn.scheme === null) return { ok: false, refusal: location.refusal! };
  if (spread.refusal !== null) return { ok: false, refusal: spread.refusal };
  const within: Outcome<SigmaEstimate> = estimateLocation(data, { ...design, basis: "chart" });
  if (!within.ok) return within;
  const { centre, sigma, alike, lambda, width, dependence } = drawn.scheme;
  const scheme: LimitScheme = {
    ...{ runs, sigma, sigmaWithin: within.value.sigma },
    ewma: { lambda, width, alike, share: dependence.share, phi: dependence.phi },
  };
  const settled = sigma * Math.sqrt(ewmaVariance(lambda, dependence) / (alike ? 1 : runs));
  const { lower, upper } = evenLines(centre, settled, width) as Limits;
  return ok({
    ...{ charts: ["ewma", runs > 1 ? "standard-deviation" : movingRange.kind], scheme, drawn },
    estimator: location.provenance.estimator,
    location: { centre, lower, upper, sigma: settled },
    spread:
      runs > 1
        ? standardDeviationLinesOf({ location: { centre, lower, upper, sigma }, scheme, k: design.k }, runs)!
        : linesAt(spread, spread.values.length - 1),
  });
}

/** Lines that are the same at every place. */
function linesAt({ centres, lower, upper, sigmas }: DrawnChart, place: number): Limits {
  const at = { centre: centres.at(place)!, lower: lower.at(place)!, upper: upper.at(place)! };
  return { ...at, sigma: sigmas.at(place)! };
}

function diagnosticsOf(
  data: Grouped,
  subgroups: readonly Subgroup[],
  { scheme, location: { centre } }: Pick<Found, "scheme" | "location">,
  everyMs: number,
  { cautions }: DrawnCharts,
): ProposedLimits["diagnostics"] {
  const means = subgroupAverages(data);
  const places: (number | null)[] = [];
  let beyond = 0;
  const single = scheme.runs === 1;
  subgroups.forEach(({ values, atMs, setting }, i) => {
    const before = subgroups[i - 1];
    if (before !== undefined && (isGap(before.atMs, atMs, everyMs) || (single && before.setting !== setting)))
      places.push(null);
    const mean = values.length === 0 ? null : means[i]!;
    places.push(mean);
    const half = (INDIVIDUALS_K * scheme.sigma) / Math.sqrt(scheme.ewma?.alike === true ? 1 : values.length);
    if (mean !== null && judge(mean, centre - half, centre + half) !== "within") beyond += 1;
  });
  const values = [...data.values];
  const ranges = scheme.runs > 1 ? [...subgroupRanges(data)].filter(Number.isFinite) : rangesOf(places);
  return diagnosed({
    ...{ values, places, beyond, sigmaWithin: scheme.sigmaWithin },
    coarse: distinctValues(ranges) < LEAST_DISTINCT,
    alsoSeen: cautions.map(({ code }) => code).filter((code) => code === "between-subgroups"),
  });
}

function rangesOf(places: readonly (number | null)[]): readonly number[] {
  return places.flatMap((value, i) => {
    const before = places[i - 1];
    return value !== null && before != null ? [Math.abs(value - before)] : [];
  });
}

function grouped(subgroups: readonly Subgroup[], everyMs: number): Grouped {
  const anew = subgroups.flatMap(({ atMs }, i) => {
    const before = subgroups[i - 1];
    return before !== undefined && isGap(before.atMs, atMs, everyMs) ? [i] : [];
  });
  return { ...groupedOf(subgroups.map(({ values }) => values)), anew, apart: apartPlaces(subgroups) };
}
