import type { EwmaScheme } from "../charts/ewma-state.ts";
import { checkEwma, ewmaDeviation, ewmaHalf, ewmaHeld, ewmaNext, ewmaStart } from "../charts/ewma-state.ts";
import type { Dependence } from "../charts/ewma-width.ts";
import { independent } from "../charts/ewma-width.ts";
import type { ChartDesign } from "../model/chart-design.ts";
import { columnOf } from "../model/column.ts";
import type { Caution, DrawnCharts } from "../model/drawn-chart.ts";
import type { Grouped } from "../model/grouped.ts";
import type { Outcome } from "../model/outcome.ts";
import { ok, refuse } from "../model/outcome.ts";
import { overallSigma } from "../sigma/overall.ts";
import { dependentShare } from "../stats/ar1.ts";
import { finiteOnes } from "../stats/finite.ts";
import type { Beside } from "./ewma-beside.ts";
import { besideSpread, checkCorrections } from "./ewma-beside.ts";
import { dependenceCaution, widenedCaution } from "./ewma-cautions.ts";
import type { Lines } from "./lines.ts";
import { evenLines, provenanceOf, refusedChart, withLines } from "./lines.ts";

/** A share of less would underflow, and limits of no width flag everything. */
const LEAST_SIGMA = 1e-300;

/** What an EWMA alone is told. */
export interface EwmaOptions {
  /** Weight of the newest point; 0.2 unless said. */
  readonly lambda?: number;
  /** Half-width of the limits in sigma of the EWMA; 2.86 unless said: about 370 points to a chance signal. */
  readonly width?: number;
  /** Fast initial response: share of the half-width at the first point; none unless said. */
  readonly headStart?: number | null;
  /** Limits where they settle, from the first point on, in place of exact ones. */
  readonly asymptotic?: boolean;
  /** Frozen dependence of neighbours; on the basis `overall` it is had from the baseline unless said. */
  readonly dependence?: Dependence;
  /** Places before which a cause was found and corrected, ascending: Z begins anew at the centre there. */
  readonly corrections?: readonly number[];
}

/** An EWMA beside its spread, and what was frozen for it: null where limits were refused. */
export interface DrawnEwma extends DrawnCharts {
  readonly scheme: EwmaScheme | null;
}

/**
 * EWMA chart: where the process lies by a weighted mean of all points, which shows small shifts that stay.
 *
 * @shape   grouped values in time order; an empty subgroup holds its place, and Z; the design, whose k is for the spread
 *          beside it only; options
 * @unit    that of the characteristic
 * @method  `ewmaStage` over the whole series. Centre and sigma as `estimateLocation`. Basis `overall`: sigma is s with
 *          n - 1 of the plotted points of the baseline, and the variance grows by the dependent share (`dependentShare`
 *          of the same points), v and phi frozen in `scheme`. Spread: moving ranges, or standard deviations
 * @refuses as `estimateLocation`, and too-few where the share cannot be had: then the charts stand without lines
 * @throws  RangeError for a design or option that cannot be meant: a defect in the caller
 * @cost    O(n), one pass; four numbers a place, one where limits are settled and sizes equal
 * @source  Roberts 1959, Technometrics 1:239-250; Lucas and Saccucci 1990, Technometrics 32:1-12; Steiner 1999, Journal
 *          of Quality Technology 31:75-86 (all from memory); NIST/SEMATECH e-Handbook 6.3.2.4
 * @checked tests/reference/spc/time-weighted/nist-ewma.test.ts
 */
export function drawEwma(data: Grouped, design: ChartDesign, options: EwmaOptions = {}): DrawnEwma {
  const beside = besideSpread(data, design);
  const found = frozenEwma(design, options, beside);
  const scheme = found.ok ? found.value : withoutLimits(design, options, beside);
  checkEwma(scheme);
  const { values, lines } = followed(
    data,
    scheme,
    beside,
    checkCorrections(options.corrections ?? [], beside.means.length),
  );
  const series = { kind: "ewma", values: columnOf(values), patterns: "limit", anew: [] } as const;
  const estimate = beside.estimate.ok ? beside.estimate.value : null;
  const location = found.ok
    ? withLines(series, { ...provenanceOf(design, estimate!.estimator, estimate!.n), k: scheme.width }, lines)
    : refusedChart(series, design, found.refusal);
  return {
    charts: [location, beside.spread],
    sigmaWithin: beside.sigmaWithin,
    dfWithin: beside.dfWithin,
    cautions: [...beside.cautions, ...cautionsOf(scheme, design, beside)],
    scheme: found.ok ? scheme : null,
  };
}

function frozenEwma(design: ChartDesign, options: EwmaOptions, beside: Beside): Outcome<EwmaScheme> {
  if (!beside.estimate.ok) return beside.estimate;
  const { centre, sigma } = beside.estimate.value;
  if (sigma < LEAST_SIGMA) return refuse("not-finite", "arithmetic with the values leaves the range of numbers");
  const base = { ...withoutLimits(design, options, beside), centre, sigma };
  if (design.basis !== "overall" || options.dependence !== undefined) return ok(base);
  const points = baselinePoints(design, beside);
  const share = dependentShare(columnOf(points));
  if (!share.ok) return share;
  // Averages that depend on each other vary more than sigma / sqrt(n) says: what counts is how they varied themselves.
  const own = beside.largest > 1 && design.sigma === null ? overallSigma(finiteOnes(points)).sigma : null;
  return ok({ ...base, dependence: share.value, ...(own === null ? {} : { sigma: own, alike: true }) });
}

/** What the options alone say. Points of a chart without limits are weighed from a given centre or the first point on. */
function withoutLimits(design: ChartDesign, options: EwmaOptions, { means, largest }: Beside): EwmaScheme {
  return {
    centre: design.centre ?? means.find(Number.isFinite) ?? 0,
    sigma: design.sigma ?? 1,
    alike: largest <= 1,
    lambda: options.lambda ?? 0.2,
    width: options.width ?? 2.86,
    asymptotic: options.asymptotic ?? false,
    headStart: options.headStart ?? null,
    dependence: options.dependence ?? independent,
  };
}

function followed(
  { starts }: Grouped,
  scheme: EwmaScheme,
  { means }: Beside,
  corrections: readonly number[],
): { readonly values: Float64Array; readonly lines: Lines } {
  const n = means.length;
  const values = new Float64Array(n).fill(Number.NaN);
  // Settled limits of points of one size need no column of their own.
  const settled = scheme.asymptotic && scheme.headStart === null;
  const [deviations, halves] = [0, 1].map(() => new Float64Array(settled ? 0 : n).fill(Number.NaN)) as Columns;
  let state = ewmaStart;
  let next = 0;
  for (let i = 0; i < n; i += 1) {
    if (corrections[next] === i) {
      state = ewmaStart;
      next += 1;
    }
    const size = starts[i + 1]! - starts[i]!;
    const before = state;
    state = Number.isFinite(means[i]!) ? ewmaNext(scheme, before, means[i]!, size) : ewmaHeld(scheme, before);
    if (state.t === before.t) continue;
    values[i] = scheme.centre + state.off;
    if (settled) continue;
    deviations[i] = ewmaDeviation(scheme, state, size);
    halves[i] = ewmaHalf(scheme, state, size);
  }
  const { centre } = scheme;
  if (settled) {
    const sigma = scheme.alike ? ewmaDeviation(scheme, state, 1) : deviationBySize(scheme, starts);
    return { values, lines: evenLines(centre, sigma, scheme.width) };
  }
  const lower = halves.map((half) => centre - half);
  for (let i = 0; i < n; i += 1) halves[i]! += centre;
  return { values, lines: { centre, sigma: deviations, lower, upper: halves } };
}

function deviationBySize(scheme: EwmaScheme, starts: Uint32Array): Float64Array {
  return Float64Array.from({ length: starts.length - 1 }, (_, i) => {
    const size = starts[i + 1]! - starts[i]!;
    return size === 0 ? Number.NaN : ewmaDeviation(scheme, ewmaStart, size);
  });
}

type Columns = [Float64Array, Float64Array];

function baselinePoints({ baseline }: ChartDesign, { means }: Beside): Float64Array {
  return means.subarray(baseline.from, baseline.to);
}

function cautionsOf({ dependence }: EwmaScheme, design: ChartDesign, beside: Beside): readonly Caution[] {
  if (dependence.share > 0) return [widenedCaution(dependence)];
  return design.basis === "overall" ? [] : dependenceCaution("an EWMA", design, beside);
}
