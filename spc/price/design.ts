import { cusumRunLength } from "./cusum-run-length.ts";
import { ewmaRunLength } from "./ewma-run-length.ts";

/** Run lengths that limits may be asked for. */
const FEWEST = 10;
const MOST = 1e7;

/**
 * Width of an EWMA: the one whose run length, while nothing is wrong, is what was asked for.
 *
 * @shape   lambda; the run length asked for; which limits it is meant for, settled ones unless said
 * @unit    sigma of the EWMA
 * @method  root of log(run length) in the width, by the secant method kept within a bracket
 * @throws  RangeError for lambda outside 0.001 to 1 or a run length outside 10 to 1e7: a defect in the caller
 * @cost    about ten run lengths: tens of milliseconds, for exact limits tenths of a second
 * @source  Crowder 1989, Journal of Quality Technology 21:155-162 (from memory)
 * @checked tests/reference/spc/price-continuous/designs.test.ts
 */
export function ewmaWidthFor(lambda: number, runLength: number, limits: "exact" | "asymptotic" = "asymptotic"): number {
  const lengthAt = (width: number): number => ewmaRunLength({ lambda, width, limits }).average;
  // Exact limits are the narrower ones at first, so that theirs is the larger width, and not by much.
  return limits === "exact"
    ? rootFor(runLength, { from: ewmaWidthFor(lambda, runLength), to: 8, step: 0.05, digits: 1e-10 }, lengthAt)
    : rootFor(runLength, { from: 0.2, to: 8, step: 0.5, digits: 1e-14 }, lengthAt);
}

/**
 * Decision interval of a CUSUM: the h whose two-sided run length, while nothing is wrong, is what was asked for.
 *
 * @shape   the reference value k, zero or more; the run length asked for
 * @unit    sigma of the plotted average
 * @method  root of log(run length) in h, by the secant method kept within a bracket
 * @throws  RangeError for k below zero, or a run length outside 10 to 1e7: a defect in the caller
 * @cost    about ten run lengths: tens of milliseconds
 * @source  Hawkins 1993, Quality Engineering 5:463-477 (from memory)
 * @checked tests/reference/spc/price-continuous/designs.test.ts
 */
export function cusumIntervalFor(k: number, runLength: number): number {
  // A sum without reference value grows with the square root of the points: h up to 60 is more than any table has.
  return rootFor(runLength, { from: 1e-6, to: 60, step: 0.5, digits: 1e-14 }, (h) => cusumRunLength({ k, h }));
}

interface Search {
  readonly from: number;
  readonly to: number;
  /** First step outwards. */
  readonly step: number;
  /** How far the logarithm of the run length may be off. */
  readonly digits: number;
}

/** Where an increasing run length passes the wanted one; false position with the Illinois rule. */
function rootFor(wanted: number, { from, to, step, digits }: Search, runLength: (at: number) => number): number {
  if (!(wanted >= FEWEST && wanted <= MOST))
    throw new RangeError(`a run length must lie from ${FEWEST} to ${MOST}, got ${wanted}`);
  const off = (at: number): number => Math.log(runLength(at) / wanted);
  let [low, high] = [from, from];
  let lowOff = off(low);
  if (Math.abs(lowOff) < 1e-10) return low;
  if (lowOff > 0) throw new RangeError(`no limit is so near that the run length is only ${wanted}`);
  // Outwards in growing steps, for a run length far beyond the wanted one has few digits.
  let highOff = lowOff;
  for (let stride = step; highOff < 0; stride *= 1.5) {
    if (high >= to) throw new RangeError(`no limit up to ${to} has a run length of ${wanted}`);
    [low, lowOff] = [high, highOff];
    high = Math.min(to, high + stride);
    highOff = off(high);
  }
  for (let round = 0; round < 100 && high - low > 1e-13 * high; round += 1) {
    const middle = (low * highOff - high * lowOff) / (highOff - lowOff);
    const at = middle > low && middle < high ? middle : (low + high) / 2;
    const here = off(at);
    if (Math.abs(here) < digits) return at;
    if (here < 0) {
      [low, lowOff, highOff] = [at, here, highOff / 2];
    } else {
      [high, highOff, lowOff] = [at, here, lowOff / 2];
    }
  }
  return (low + high) / 2;
}
