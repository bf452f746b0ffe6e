import { tCdf, tQuantile } from "../library/students-t.ts";
import type { Outcome } from "../model/outcome.ts";
import { ok, refuse } from "../model/outcome.ts";
import { moments } from "../stats/moments.ts";

/** How far an instrument reads from a known value. */
export interface Bias {
  readonly n: number;
  readonly bias: number;
  /** Standard deviation of single readings. */
  readonly sd: number;
  readonly t: number;
  /** Chance of a t as far from zero if there were no bias. */
  readonly p: number;
  readonly lower: number;
  readonly upper: number;
  readonly confidence: number;
}

/**
 * Bias study: whether repeated readings of a known value lie off it by more than chance.
 *
 * @shape   two or more finite readings of one reference, its value, the confidence of the interval
 * @unit    that of the readings
 * @method  bias = mean - reference; Student's t with n - 1 degrees of freedom, two-sided
 * @refuses too-few under two readings; zero-variation when they never differ: the last digit is then the limit
 * @throws  RangeError for a reading, reference or confidence that is none: a defect in the caller
 * @cost    O(n)
 * @source  AIAG Measurement Systems Analysis, 4th ed. 2010 (from memory)
 * @checked tests/reference/spc/gauge/against-reference.test.ts
 */
export function biasStudy(readings: readonly number[], reference: number, confidence: number): Outcome<Bias> {
  if (!(confidence > 0 && confidence < 1)) throw new RangeError(`a confidence lies between 0 and 1, got ${confidence}`);
  for (const value of [reference, ...readings]) {
    if (!Number.isFinite(value)) throw new RangeError(`a reading must be a number, got ${value}`);
  }
  const n = readings.length;
  if (n < 2) return refuse("too-few", `${n} readings: a bias needs two or more`, { needs: 2, has: n });
  // Taken from the reference first, so that a small bias of large readings keeps its digits.
  const { mean: bias, sd } = moments(readings.map((reading) => reading - reference));
  if (sd === 0) return refuse("zero-variation", "the readings never differ: the instrument's last digit is the limit");
  const error = sd / Math.sqrt(n);
  const t = bias / error;
  if (!Number.isFinite(t) || !Number.isFinite(sd))
    return refuse("not-a-number", "the readings are too large to be squared");
  const half = tQuantile((1 + confidence) / 2, n - 1) * error;
  const p = 2 * tCdf(-Math.abs(t), n - 1);
  return ok({ n, bias, sd, t, p, lower: bias - half, upper: bias + half, confidence });
}
