import { normalQuantile } from "../library/normal.ts";
import { tQuantile } from "../library/students-t.ts";

/** One thing that a measurement is uncertain about. */
export interface UncertaintyComponent {
  /** Standard uncertainty of the influence, in its own unit, zero or more. */
  readonly u: number;
  /** How far the result moves for one unit of the influence; 1 where it is in the unit of the result. */
  readonly sensitivity: number;
  /** Degrees of freedom; null where u is taken for exact. */
  readonly df: number | null;
}

/** Two components, by place in the list, that vary together: r from -1 to 1. */
export interface Correlation {
  readonly one: number;
  readonly other: number;
  readonly r: number;
}

export interface CombinedUncertainty {
  readonly u: number;
  /** Effective degrees of freedom; null where all are exact, or where correlation leaves the formula without meaning. */
  readonly df: number | null;
}

/**
 * Combined standard uncertainty: what all components together leave of a measurement.
 *
 * @shape   one or more components; correlations between some of them, if any
 * @unit    that of the result
 * @method  u^2 = sum (c u)^2 + 2 sum r (c u)(c u)'; degrees of freedom by Welch and Satterthwaite,
 *          u^4 / sum ((c u)^4 / df)
 * @throws  RangeError for a component or correlation that is none, or correlations that cannot be: a defect in the caller
 * @source  JCGM 100:2008 (GUM), 5.1.2, 5.2.2, G.4.1 (from memory)
 * @checked tests/reference/spc/gauge/uncertainty.test.ts
 */
export function combinedUncertainty(
  components: readonly UncertaintyComponent[],
  correlations: readonly Correlation[] = [],
): CombinedUncertainty {
  const parts = components.map(({ u, sensitivity, df }) => {
    if (!(u >= 0 && u < Infinity && Number.isFinite(sensitivity) && (df === null || df > 0))) {
      throw new RangeError(
        `a component needs u >= 0, a sensitivity and df above zero, got ${u}, ${sensitivity}, ${df}`,
      );
    }
    return { part: sensitivity * u, df };
  });
  if (parts.length === 0) throw new RangeError("an uncertainty needs one or more components, got 0");
  // Counted in the largest part, so that fourth powers stay numbers.
  const unit = Math.max(...parts.map(({ part }) => Math.abs(part)));
  if (unit === 0) return { u: 0, df: null };
  let square = parts.reduce((sum, { part }) => sum + (part / unit) ** 2, 0);
  for (const { one, other, r } of correlations) {
    const [a, b] = [parts[one], parts[other]];
    if (a === undefined || b === undefined || one === other || !(Math.abs(r) <= 1)) {
      throw new RangeError(`a correlation needs two components and r from -1 to 1, got ${one}, ${other}, ${r}`);
    }
    square += 2 * r * (a.part / unit) * (b.part / unit);
  }
  if (square < -1e-12)
    throw new RangeError("these correlations cannot hold together: the variance comes out below zero");
  const loss = parts.reduce((sum, { part, df }) => (df === null ? sum : sum + (part / unit) ** 4 / df), 0);
  const known = loss > 0 && correlations.length === 0;
  return { u: unit * Math.sqrt(Math.max(0, square)), df: known ? square ** 2 / loss : null };
}

/**
 * Coverage factor: how many standard uncertainties hold the true value with that confidence; often simply 2.
 *
 * @shape   a confidence between 0 and 1; degrees of freedom, null where they are as good as endless
 * @unit    dimensionless
 * @method  quantile of Student's t, degrees of freedom cut down to a whole number; of the normal for null
 * @throws  RangeError for a confidence out of range or degrees of freedom below one: a defect in the caller
 * @source  JCGM 100:2008 (GUM), G.4.1 (from memory)
 * @checked tests/reference/spc/gauge/uncertainty.test.ts
 */
export function coverageFactor(confidence: number, df: number | null): number {
  if (!(confidence > 0 && confidence < 1)) throw new RangeError(`a confidence lies between 0 and 1, got ${confidence}`);
  const p = (1 + confidence) / 2;
  return df === null ? normalQuantile(p) : tQuantile(p, Math.floor(df));
}
