import type { Outcome } from "../model/outcome.ts";
import { ok, refuse } from "../model/outcome.ts";
import { mean, moments } from "../stats/moments.ts";
import type { PooledSpread } from "./pooled-repeatability.ts";
import { pooledRepeatability } from "./pooled-repeatability.ts";
import type { Ratio } from "./variance.ts";
import { varianceLine, varianceRatio } from "./variance.ts";

/** How an instrument keeps its reading of a check standard from occasion to occasion. */
export interface Stability {
  /** One mean an occasion, in time order: the points of an individuals chart. */
  readonly means: readonly number[];
  /** Within occasions. */
  readonly repeatability: PooledSpread;
  /** Standard deviation of the occasions' means. */
  readonly betweenSd: number;
  /** Between against within: whether occasions differ by more than repeatability; null where that is zero. */
  readonly ratio: Ratio | null;
}

/**
 * Stability study: whether an instrument drifts, by repeated readings of one check standard on many occasions.
 *
 * @shape   two or more occasions in time order, two or more finite readings each
 * @unit    that of the readings
 * @method  repeatability pooled over occasions; one-way analysis of variance between them. Where and when it moved is
 *          for an individuals chart of the means to say
 * @refuses too-few; not-a-number where squares leave the range of numbers
 * @throws  RangeError for a reading that is no number: a defect in the caller
 * @cost    O(n)
 * @source  NIST/SEMATECH e-Handbook 2.4.4.4 (pooling), 2.2.2 (check standards, from memory)
 * @checked tests/reference/spc/gauge/against-reference.test.ts
 */
export function stabilityStudy(occasions: readonly (readonly number[])[]): Outcome<Stability> {
  for (const reading of occasions.flat()) {
    if (!Number.isFinite(reading)) throw new RangeError(`a reading must be a number, got ${reading}`);
  }
  const least = Math.min(occasions.length, ...occasions.map((readings) => readings.length));
  if (least < 2) {
    return refuse("too-few", "stability needs two or more occasions of two or more readings", { needs: 2, has: least });
  }
  const means = occasions.map(mean);
  const groups = occasions.map((readings, i) => ({
    ss: readings.reduce((sum, reading) => sum + (reading - means[i]!) ** 2, 0),
    df: readings.length - 1,
  }));
  const centre = mean(occasions.flat());
  const betweenSs = occasions.reduce((sum, readings, i) => sum + readings.length * (means[i]! - centre) ** 2, 0);
  if (!Number.isFinite(betweenSs) || !groups.every(({ ss }) => Number.isFinite(ss))) {
    return refuse("not-a-number", "the readings are too large to be squared");
  }
  const repeatability = pooledRepeatability(groups);
  const between = varianceLine(betweenSs, occasions.length - 1);
  return ok({
    means,
    repeatability,
    betweenSd: moments(means).sd,
    ratio: varianceRatio(between, varianceLine(repeatability.ss, repeatability.df)),
  });
}
