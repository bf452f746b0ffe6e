import { fCdf } from "../library/fisher-f.ts";

/** One line of an analysis of variance. */
export interface VarianceLine {
  readonly df: number;
  readonly ss: number;
  readonly ms: number;
}

/** A variance as it came out, and as it is used: a variance below zero is none. */
export interface VarianceComponent {
  readonly raw: number;
  readonly used: number;
}

/** An F ratio with the chance of one as large; null over a mean square of zero. */
export interface Ratio {
  readonly f: number;
  readonly p: number;
}

/**
 * Line of an analysis of variance.
 *
 * @shape   a sum of squares of zero or more, its degrees of freedom above zero
 * @unit    that of the readings squared
 * @method  mean square = sum of squares over degrees of freedom
 * @source  definition
 * @checked tests/reference/spc/gauge/crossed.test.ts
 */
export function varianceLine(ss: number, df: number): VarianceLine {
  return { df, ss, ms: ss / df };
}

/**
 * Ratio of two mean squares, and how often chance alone gives one as large.
 *
 * @shape   two lines
 * @unit    dimensionless
 * @method  F = ms / ms'; p as the lower share of 1 / F with the degrees of freedom exchanged, which keeps small p exact
 * @source  definition
 * @checked tests/reference/spc/gauge/crossed.test.ts
 */
export function varianceRatio(above: VarianceLine, below: VarianceLine): Ratio | null {
  const f = above.ms / below.ms;
  if (!Number.isFinite(f)) return null;
  return { f, p: f > 0 ? fCdf(1 / f, below.df, above.df) : 1 };
}

/**
 * Variance component: negative ones are used as zero and told as they came out.
 *
 * @shape   a difference of mean squares over how often each level is seen
 * @unit    that of the readings squared
 * @method  used = max(0, raw)
 * @source  AIAG Measurement Systems Analysis, 4th ed. (from memory)
 * @checked tests/reference/spc/gauge/crossed.test.ts
 */
export function varianceComponent(raw: number): VarianceComponent {
  return { raw, used: Math.max(0, raw) };
}
