import { judge } from "../model/point.ts";

/** From which value on a point lies above, and up to which below; infinite where none does. */
export interface Edges {
  readonly above: number;
  readonly below: number;
}

const float = new Float64Array(1);
const bits = new BigInt64Array(float.buffer);

/**
 * Edges of lines: the values at which `judge` changes its mind, so that millions of values are judged by comparing.
 *
 * @shape   lower and upper line, either of them null where there is none
 * @unit    that of the lines
 * @method  the verdict changes once along the doubles, so the change is found by halving
 * @cost    O(64) judgements, once a chart
 * @source  derived here
 * @checked tests/property/spc/rules/signals-of.test.ts
 */
export function edgesOf(lower: number | null, upper: number | null): Edges {
  const above = upper === null ? Infinity : firstWhere((value) => judge(value, lower ?? upper, upper) === "above");
  const mirrored = (value: number): boolean => lower !== null && judge(-value, lower, upper ?? lower) === "below";
  return { above, below: lower === null ? -Infinity : -firstWhere(mirrored) };
}

/** The smallest finite number for which a question that turns from no to yes once is answered yes; else infinity. */
function firstWhere(yes: (value: number) => boolean): number {
  if (!yes(Number.MAX_VALUE)) return Infinity;
  if (yes(-Number.MAX_VALUE)) return -Number.MAX_VALUE;
  let no = orderOf(-Number.MAX_VALUE);
  let first = orderOf(Number.MAX_VALUE);
  while (first - no > 1n) {
    const middle = (no + first) / 2n;
    if (yes(numberAt(middle))) first = middle;
    else no = middle;
  }
  return numberAt(first);
}

/** Place of a number among all doubles, zero at zero. */
function orderOf(value: number): bigint {
  float[0] = Math.abs(value);
  return value < 0 ? -bits[0]! : bits[0]!;
}

function numberAt(order: bigint): number {
  bits[0] = order < 0n ? -order : order;
  return order < 0n ? -float[0]! : float[0]!;
}
