import { tCdf, tQuantile } from "../library/students-t.ts";
import type { Outcome } from "../model/outcome.ts";
import { ok, refuse } from "../model/outcome.ts";
import { mean } from "../stats/moments.ts";

/** Readings of one known value. */
export interface AtReference {
  readonly reference: number;
  readonly readings: readonly number[];
}

/** A coefficient of the line, and whether it is more than chance; null where the readings leave no scatter. */
export interface Coefficient {
  readonly estimate: number;
  readonly standardError: number;
  readonly test: { readonly t: number; readonly p: number } | null;
}

/** How the bias changes over the range. */
export interface Linearity {
  readonly n: number;
  readonly slope: Coefficient;
  readonly intercept: Coefficient;
  /** Scatter of the readings about the line. */
  readonly s: number;
  /** Share of the scatter that the line explains, 0 to 1. */
  readonly r2: number;
  readonly meanReference: number;
  readonly squaresOfReference: number;
}

/**
 * Linearity study: whether the bias of an instrument grows or falls over its range.
 *
 * @shape   readings at two or more known values, three or more in all
 * @unit    slope dimensionless, intercept and s that of the readings
 * @method  least squares of (reading - reference) on the reference; Student's t with n - 2 degrees of freedom
 * @refuses too-few under two different references or three readings; not-a-number where squares leave the range of numbers
 * @throws  RangeError for a number that is none: a defect in the caller
 * @cost    O(n)
 * @source  AIAG Measurement Systems Analysis, 4th ed. 2010 (from memory)
 * @checked tests/reference/spc/gauge/against-reference.test.ts
 */
export function linearityStudy(study: readonly AtReference[]): Outcome<Linearity> {
  const points = study.flatMap(({ reference, readings }) =>
    readings.map((reading) => ({ x: reference, y: reading - reference })),
  );
  for (const { x, y } of points) {
    if (!Number.isFinite(x) || !Number.isFinite(y)) throw new RangeError(`a reading must be a number, got ${x}, ${y}`);
  }
  const n = points.length;
  const references = new Set(points.map(({ x }) => x)).size;
  if (references < 2) {
    return refuse("too-few", "a line needs two or more known values", { needs: 2, has: references });
  }
  if (n < 3) return refuse("too-few", `${n} readings: a line needs three or more`, { needs: 3, has: n });
  const meanReference = mean(points.map(({ x }) => x));
  const meanBias = mean(points.map(({ y }) => y));
  let [sxx, sxy, syy] = [0, 0, 0];
  for (const { x, y } of points) {
    sxx += (x - meanReference) ** 2;
    sxy += (x - meanReference) * (y - meanBias);
    syy += (y - meanBias) ** 2;
  }
  if (!(sxx > 0) || !Number.isFinite(sxx + Math.abs(sxy) + syy)) {
    return refuse("not-a-number", "the readings are too large, or too near to each other, to be squared");
  }
  const slope = sxy / sxx;
  const intercept = meanBias - slope * meanReference;
  const residual = points.reduce((sum, { x, y }) => sum + (y - meanBias - slope * (x - meanReference)) ** 2, 0);
  const s = Math.sqrt(residual / (n - 2));
  return ok({
    n,
    slope: tested(slope, s / Math.sqrt(sxx), n - 2),
    intercept: tested(intercept, s * Math.sqrt(1 / n + meanReference ** 2 / sxx), n - 2),
    s,
    r2: syy > 0 ? Math.max(0, 1 - residual / syy) : 0,
    meanReference,
    squaresOfReference: sxx,
  });
}

/**
 * Bias of the line at one value of the range, with the interval of that mean.
 *
 * @shape   a linearity study, a value inside the range that was studied, the confidence
 * @unit    that of the readings
 * @method  intercept + slope x -+ t s sqrt(1 / n + (x - mean x)^2 / sxx), n - 2 degrees of freedom
 * @throws  RangeError for a value or confidence that is none: a defect in the caller
 * @source  least squares, as in any text (from memory)
 * @checked tests/reference/spc/gauge/against-reference.test.ts
 */
export function biasAt(
  line: Linearity,
  x: number,
  confidence: number,
): { readonly bias: number; readonly lower: number; readonly upper: number } {
  if (!Number.isFinite(x)) throw new RangeError(`a bias is asked at a number, got ${x}`);
  if (!(confidence > 0 && confidence < 1)) throw new RangeError(`a confidence lies between 0 and 1, got ${confidence}`);
  const { n, slope, intercept, s, meanReference, squaresOfReference } = line;
  const bias = intercept.estimate + slope.estimate * x;
  const error = s * Math.sqrt(1 / n + (x - meanReference) ** 2 / squaresOfReference);
  const half = tQuantile((1 + confidence) / 2, n - 2) * error;
  return { bias, lower: bias - half, upper: bias + half };
}

function tested(estimate: number, standardError: number, df: number): Coefficient {
  const t = estimate / standardError;
  const test = Number.isFinite(t) ? { t, p: 2 * tCdf(-Math.abs(t), df) } : null;
  return { estimate, standardError, test };
}
