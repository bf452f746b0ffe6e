/** Halvings after which the two ends are neighbouring numbers. */
const HALVINGS = 200;

/**
 * Root: where a continuous function of opposite signs at two ends crosses zero.
 *
 * @shape   f finite or infinite on the way, never without a sign; low < high
 * @unit    that of the ends
 * @method  bisection down to neighbouring numbers; it cannot be led astray, and its cost does not matter here
 * @throws  RangeError when both ends have the same sign: a defect in the caller
 * @cost    at most 200 evaluations
 * @source  definition
 * @checked tests/unit/spc/models/search.test.ts
 */
export function rootBetween(f: (x: number) => number, low: number, high: number): number {
  const [atLow, atHigh] = [f(low), f(high)];
  const rises = atLow <= 0 && atHigh >= 0;
  if (!rises && !(atLow >= 0 && atHigh <= 0)) {
    throw new RangeError(`no root between ${low} and ${high}: ${atLow} and ${atHigh}`);
  }
  let [from, to] = [low, high];
  for (let i = 0; i < HALVINGS; i += 1) {
    const middle = from + (to - from) / 2;
    if (middle === from || middle === to) break;
    if (f(middle) > 0 === rises) to = middle;
    else from = middle;
  }
  return from + (to - from) / 2;
}

/**
 * Peak: where a function with one maximum between two ends has it.
 *
 * @shape   f with one peak, -Infinity where it cannot be had; low < high
 * @unit    that of the ends
 * @method  golden section, to the eight digits that a maximum can be told with
 * @cost    some 60 evaluations
 * @source  Kiefer 1953, Proc. Amer. Math. Soc. 4:502-506 (from memory)
 * @checked tests/unit/spc/models/search.test.ts
 */
export function peakBetween(f: (x: number) => number, low: number, high: number): number {
  const share = (Math.sqrt(5) - 1) / 2;
  let [from, to] = [low, high];
  let left = to - share * (to - from);
  let right = from + share * (to - from);
  let [atLeft, atRight] = [f(left), f(right)];
  while (to - from > 1e-9 * Math.max(1, Math.abs(from) + Math.abs(to))) {
    if (atLeft >= atRight) {
      to = right;
      [right, atRight] = [left, atLeft];
      left = to - share * (to - from);
      atLeft = f(left);
    } else {
      from = left;
      [left, atLeft] = [right, atRight];
      right = from + share * (to - from);
      atRight = f(right);
    }
  }
  return (from + to) / 2;
}
