import { chiSquareQuantile } from "../library/chi-square.ts";
import { positiveDeterminant } from "../library/matrix.ts";
import { normalCdf } from "../library/normal.ts";
import type { ChartDesign } from "../model/chart-design.ts";
import { columnOf } from "../model/column.ts";
import type { DrawnChart } from "../model/drawn-chart.ts";
import { refuse } from "../model/outcome.ts";
import type { Vectors } from "../model/vectors.ts";
import type { Lines } from "./lines.ts";
import { countThere, lineBySize, provenanceOf, refusedChart, withLines } from "./lines.ts";
import type { VectorEstimate } from "./vector-estimate.ts";

/**
 * Generalised variance chart: whether vectors scatter within subgroups as they do on the whole.
 *
 * @shape   vectors in subgroups, the design, the estimate they are judged by
 * @unit    dimensionless: determinants of covariances over that of the estimate, so that units cancel
 * @method  |S_i| / |S|; with f = n - 1 and e(f) = prod (f + 1 - i) / f, i = 1 to p, E|S_i| = e(f) |Sigma| and E|S_i|^2 = e(f)
 *          prod (f + 3 - i) / f |Sigma|^2, where |Sigma| is taken as |S| / e(df). k sigma to either side, cut at 0; exact:
 *          chi-square with f for one component, (chi-square with 2 f - 2)^2 / (4 f^2) for two. One number hides which
 *          component scatters: what signals asks for the components' own charts. Subgroups of p vectors or fewer have none
 * @refuses too-few where no subgroup is large enough; no-exact-limits for three components and more
 * @cost    O(n p^2)
 * @source  Alt 1985 (from memory); moments of Wishart determinants
 * @checked tests/property/spc/multivariate/generalised-variance.test.ts
 */
export function generalisedVariance(data: Vectors, design: ChartDesign, estimate: VectorEstimate): DrawnChart {
  const p = data.dimension;
  const values = columnOf(determinants(data, estimate));
  const series = { kind: "generalised-variance", values, patterns: "limit", anew: data.anew } as const;
  if (countThere(values, { from: 0, to: values.length }) === 0) {
    const detail = `covariances of ${p} components need subgroups of ${p + 1} or more`;
    return refusedChart(series, design, refuse("too-few", detail, { needs: p + 1 }).refusal);
  }
  if (design.limits === "exact" && p > 2) {
    const detail = "the generalised variance of three components or more has no exact limits here";
    return refusedChart(series, design, refuse("no-exact-limits", detail).refusal);
  }
  const whole = estimate.df === null ? 1 : meanFactor(estimate.df, p);
  const line = (of: (f: number) => number): Lines["centre"] => lineBySize(data.starts, p + 1, (n) => of(n - 1) / whole);
  const centre = (f: number): number => meanFactor(f, p);
  const sigma = (f: number): number => Math.sqrt(squareFactor(f, p) - meanFactor(f, p) ** 2);
  const tail = normalCdf(-design.k);
  const isExact = design.limits === "exact";
  const lower = (f: number): number =>
    isExact ? exactQuantile(tail, f, p) : Math.max(0, centre(f) - design.k * sigma(f));
  const upper = (f: number): number => (isExact ? exactQuantile(1 - tail, f, p) : centre(f) + design.k * sigma(f));
  const n = countThere(values, design.baseline);
  return withLines(series, provenanceOf(design, estimate.estimator, n), {
    centre: line(centre),
    sigma: line(sigma),
    lower: line(lower),
    upper: line(upper),
  });
}

function meanFactor(f: number, p: number): number {
  let product = 1;
  for (let i = 1; i <= p; i += 1) product *= (f + 1 - i) / f;
  return product;
}

function squareFactor(f: number, p: number): number {
  let product = meanFactor(f, p);
  for (let i = 1; i <= p; i += 1) product *= (f + 3 - i) / f;
  return product;
}

function exactQuantile(share: number, f: number, p: number): number {
  return p === 1 ? chiSquareQuantile(share, f) / f : (chiSquareQuantile(share, 2 * f - 2) / (2 * f)) ** 2;
}

function determinants(data: Vectors, estimate: VectorEstimate): Float64Array {
  const { starts, dimension: p } = data;
  const values = new Float64Array(starts.length - 1).fill(Number.NaN);
  // |R^-1|, R being the correlations.
  const inverse = estimate.whitening.reduce((product, row, j) => product * row[j]! ** 2, 1);
  for (let place = 0; place < values.length; place += 1) {
    const [from, to] = [starts[place]!, starts[place + 1]!];
    if (to - from > p) values[place] = Math.min(Number.MAX_VALUE, inverse * determinant(data, from, to, estimate));
  }
  return values;
}

/** Determinant of a subgroup's covariance, in the deviations of the estimate. */
function determinant({ rows, dimension: p }: Vectors, from: number, to: number, estimate: VectorEstimate): number {
  const scatter = Array.from({ length: p }, () => new Array<number>(p).fill(0));
  const columns = estimate.deviations.map((deviation, j) => {
    const column = Array.from({ length: to - from }, (_, r) => rows[(from + r) * p + j]! / deviation);
    const mean = column.reduce((sum, value) => sum + value / column.length, 0);
    const centred = column.map((value) => value - mean);
    // Over its own scale, so that no square leaves the range of numbers.
    const scale = centred.reduce((most, value) => Math.max(most, Math.abs(value)), 0);
    return { scale, unit: centred.map((value) => value / scale) };
  });
  if (columns.some(({ scale }) => scale === 0)) return 0;
  if (!columns.every(({ scale }) => Number.isFinite(scale))) return Number.MAX_VALUE;
  for (let i = 0; i < p; i += 1) {
    for (let j = 0; j <= i; j += 1) {
      const other = columns[j]!.unit;
      const sum = columns[i]!.unit.reduce((total, value, r) => total + value * other[r]!, 0);
      scatter[i]![j] = sum / (to - from - 1);
    }
  }
  const scales = columns.reduce((product, { scale }) => product * scale * scale, 1);
  const found = positiveDeterminant(scatter);
  return found === 0 ? 0 : Math.min(Number.MAX_VALUE, found * scales);
}
