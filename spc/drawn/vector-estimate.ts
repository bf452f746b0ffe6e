import type { Rows } from "../library/matrix.ts";
import { symmetricEigenvalues, whitening } from "../library/matrix.ts";
import type { ChartDesign } from "../model/chart-design.ts";
import type { Outcome } from "../model/outcome.ts";
import { ok, refuse } from "../model/outcome.ts";
import type { Vectors } from "../model/vectors.ts";
import { checkDesign } from "../sigma/check-design.ts";
import type { VectorScatter } from "./vector-scatter.ts";
import { vectorScatter } from "./vector-scatter.ts";

/** Where vectors lie and how they vary, as the multivariate charts take it. */
export interface VectorEstimate {
  /** `pooled-s`, `overall`, `successive-differences` or `given`. */
  readonly estimator: string;
  readonly mean: readonly number[];
  /** Standard deviation of each component of single vectors. */
  readonly deviations: readonly number[];
  /** Correlations of single vectors. */
  readonly correlation: Rows;
  /** Turns standardised components into independent ones of variance one. */
  readonly whitening: Rows;
  /** Degrees of freedom of the covariance, not necessarily whole; null when it was given. */
  readonly df: number | null;
  /** Subgroups and vectors behind it. */
  readonly subgroups: number;
  readonly vectors: number;
}

/** Parameters that are known, or frozen, in place of estimates. */
export interface KnownVectors {
  readonly mean: readonly number[];
  readonly covariance: Rows;
}

/** What a covariance of single vectors rests on: their deviations from the mean, or from one to the next. */
export type VectorSpread = "ordinary" | "successive";

/** Condition of the correlation matrix above which two components say the same. */
const WORST_CONDITION = 1e8;

/** Spread below this share of the level lies in the last bits of the numbers. */
const LAST_BITS = 1e-12;

/**
 * Location and covariance of vectors: the estimate that T2 and MEWMA start from.
 *
 * @shape   complete vectors in subgroups, the design, what single vectors' covariance rests on, or known parameters
 * @unit    mean and deviations those of the components; df and counts dimensionless
 * @method  mean of all vectors of the baseline. Covariance: pooled within subgroups, sum (x - mean_i)(x - mean_i)' / sum
 *          (n_i - 1); of single vectors with n - 1 about their mean, or from successive differences, sum v v' / (2 pairs)
 * @refuses vector-parameters for a centre or sigma that is one number; too-few for no more vectors than components;
 *          zero-variation of a component; collinear where the correlation matrix has a condition above 1e8;
 *          no-exact-limits for subgroups on the basis `overall`; not-finite
 * @throws  RangeError for a value that is no number, a design that cannot be meant, parameters of another dimension or
 *          that are no covariance: a defect in the caller
 * @cost    O(n p^2)
 * @source  Alt 1985; Sullivan and Woodall 1996, Journal of Quality Technology 28:398-408 (both from memory)
 * @checked tests/reference/spc/multivariate/t2.test.ts
 */
export function estimateVectors(
  data: Vectors,
  design: ChartDesign,
  spread: VectorSpread = "ordinary",
  known: KnownVectors | null = null,
): Outcome<VectorEstimate> {
  const { dimension, rows, starts } = data;
  checkDesign(design, starts.length - 1);
  if (!(Number.isInteger(dimension) && dimension >= 1)) throw new RangeError(`no vector has ${dimension} components`);
  for (let i = 0; i < rows.length; i += 1)
    if (!Number.isFinite(rows[i]!)) throw new RangeError(`a component is a number, got ${rows[i]}`);
  if (design.centre !== null || design.sigma !== null)
    return refuse("vector-parameters", "a centre or a sigma is one number, and vectors have one for each component");
  if (known !== null) return fromKnown(known, dimension);
  const found = vectorScatter(data, design.baseline, spread);
  if (found.grouped && design.basis === "overall")
    return refuse("no-exact-limits", "subgroups against the covariance of all vectors have no exact limits");
  return fromScatter(found, dimension);
}

function fromScatter(found: VectorScatter, dimension: number): Outcome<VectorEstimate> {
  const { grouped, mean, scatter, scales, df, subgroups, vectors, estimator } = found;
  // Single vectors need one more, because each is part of the mean and covariance that it is judged by.
  const needs = grouped ? dimension : dimension + 1;
  if (subgroups < 2 || df < needs) {
    const detail = `covariance of ${dimension} components needs ${needs} degrees of freedom in 2 subgroups or more, ${short(df)} in ${subgroups} are there`;
    return refuse("too-few", detail, { needs, has: Math.max(0, Math.floor(df)) });
  }
  if (!mean.every(Number.isFinite) || !scales.every(Number.isFinite)) return outOfRange();
  const deviations = scales.map((scale, j) => scale * Math.sqrt(scatter[j]![j]! / df));
  const still = deviations.findIndex((deviation, j) => !(deviation > LAST_BITS * Math.abs(mean[j]!)));
  if (still >= 0) return refuse("zero-variation", `component ${still + 1} does not vary`);
  const correlation = scatter.map((row, i) =>
    row.map((value, j) => (i === j ? 1 : value / Math.sqrt(scatter[i]![i]!) / Math.sqrt(scatter[j]![j]!))),
  );
  return withWhitening({ estimator, mean, deviations, correlation, df, subgroups, vectors });
}

function fromKnown({ mean, covariance }: KnownVectors, dimension: number): Outcome<VectorEstimate> {
  const isSquare = covariance.length === dimension && covariance.every((row) => row.length === dimension);
  if (mean.length !== dimension || !mean.every(Number.isFinite) || !isSquare)
    throw new RangeError(`parameters of ${dimension} components are needed, got ${mean.length} means`);
  const deviations = covariance.map((row, j) => Math.sqrt(row[j]!));
  if (!deviations.every((deviation) => deviation > 0 && Number.isFinite(deviation)))
    throw new RangeError("a covariance has variances above zero");
  const correlation = covariance.map((row, i) => row.map((value, j) => value / deviations[i]! / deviations[j]!));
  if (correlation.some((row, i) => row.some((value, j) => Math.abs(value - correlation[j]![i]!) > 1e-9)))
    throw new RangeError("a covariance is symmetric");
  return withWhitening({ estimator: "given", mean, deviations, correlation, df: null, subgroups: 0, vectors: 0 });
}

function withWhitening(estimate: Omit<VectorEstimate, "whitening">): Outcome<VectorEstimate> {
  const values = symmetricEigenvalues(estimate.correlation);
  const condition = values.at(-1)! / values[0]!;
  const white = condition > 0 && condition <= WORST_CONDITION ? whitening(estimate.correlation) : null;
  if (white === null)
    return refuse("collinear", "a component is all but determined by the others: leave one of them out");
  return ok({ ...estimate, whitening: white });
}

function outOfRange(): ReturnType<typeof refuse> {
  return refuse("not-finite", "arithmetic with the values leaves the range of numbers");
}

function short(value: number): string {
  return `${Number(value.toPrecision(3))}`;
}
