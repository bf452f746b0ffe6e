import { normalCdf } from "../library/normal.ts";

/** Steps of the instrument further out than this many sigma are not reckoned: less than 1e-15 lies there. */
const outermost = 8;
/** Finer than this against its spread, an instrument repeats itself so seldom that one more digit changes nothing. */
const mostSteps = 20_000;

/**
 * Chance that so many readings in a row are all equal, when each is a normal value of its own, rounded to a step.
 *
 * @shape   spread: sigma of single readings, 0 or above; step: smallest step of the instrument, 0 where it has none;
 *          count: 1 or more
 * @unit    1
 * @method  sum over all steps k of P(k)^count, P(k) the share of the normal that rounds to k; the level lies in the middle
 *          of a step, which is the worst case. Without a spread all are equal, without a step none
 * @throws  RangeError for a spread or step below 0 or a count below 1: a defect in the caller
 * @cost    O(spread / step), at most 20,000 steps
 * @source  derived here; of two readings with a step far below sigma it is step / (2 sigma sqrt(pi))
 * @checked tests/reference/spc/health/equal-readings.test.ts
 */
export function chanceAllEqual(spread: number, step: number, count: number): number {
  if (!(count >= 1)) throw new RangeError(`readings are counted from 1, got ${count}`);
  return allEqual(shares(spread, step), count);
}

/**
 * How many equal readings in a row are needed before chance is no answer.
 *
 * @shape   spread, step: as `chanceAllEqual`; readings: how many are looked at; chance: that may pass among all of them
 * @unit    1: a count, 2 or more; Infinity where the spread is lost in the step, so that equal readings say nothing
 * @method  smallest r with readings * chanceAllEqual(r) <= chance: a union bound, so chance fires at most that often.
 *          Neighbours that lean on each other move slowly and not without noise: the noise alone is what is asked
 * @throws  RangeError for numbers that are none: a defect in the caller
 * @cost    O(r spread / step)
 * @source  Boole's inequality
 * @checked tests/reference/spc/health/equal-readings.test.ts
 */
export function equalReadingsNeeded(spread: number, step: number, readings: number, chance: number): number {
  if (!(readings >= 1) || !(chance > 0)) throw new RangeError(`got ${readings} readings and a chance of ${chance}`);
  const parts = shares(spread, step);
  for (let count = 2; count <= mostEqual; count += 1) {
    if (readings * allEqual(parts, count) <= chance) return count;
  }
  return Number.POSITIVE_INFINITY;
}

/** So many equal readings are no use any more: the fault would have to last too long to be told. */
const mostEqual = 2_000;

function allEqual(parts: readonly number[], count: number): number {
  return parts.reduce((sum, part) => sum + part ** count, 0);
}

/** Shares of the normal by step, the level in the middle of one. */
function shares(spread: number, step: number): readonly number[] {
  if (!(spread >= 0 && step >= 0)) throw new RangeError(`spread and step are 0 or above, got ${spread} and ${step}`);
  if (spread === 0) return [1];
  if (step === 0) return [];
  const width = step / spread;
  const most = Math.min(mostSteps, Math.ceil(outermost / width));
  const share = (k: number): number => normalCdf((k + 0.5) * width) - normalCdf((k - 0.5) * width);
  return Array.from({ length: 2 * most + 1 }, (_, i) => share(i - most));
}
