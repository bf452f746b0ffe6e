/** How long something lasts, counted in points from the first. */
export interface RunLength {
  readonly mean: number;
  readonly sd: number;
}

/** How a chance mass moves at one point; `after` comes in as zeros, and what fires is returned. */
export type MassStep = (before: Float64Array, after: Float64Array) => number;

/** Two shapes this close are the same shape. */
const SETTLED = 1e-13;
/** Shares of a mass that no digit of the sum can see any more. */
const GONE = 1e-20;
const MOST_POINTS = 100_000;

/**
 * Run length: mean and standard deviation of the number of points until something fires.
 *
 * @shape   where the mass lies before the first point, summing to 1, the step that moves it, and what a mass amounts to
 * @unit    dimensionless, points
 * @method  survival is summed point by point until the shape of what survives no longer changes; from there on it falls
 *          by the same share at every point, and the rest is a geometric series. E[T] = sum S(t), E[T^2] =
 *          sum (2t + 1) S(t)
 * @throws  RangeError when the shape does not settle: a defect in the caller
 * @cost    O(places) a point; some hundred points, for patterns forget what is older than they are long
 * @source  derived here from the definition of the mean; sparse forward iteration instead of a dense solution
 * @checked tests/reference/spc/rules/run-length.test.ts
 */
export function runLengthOf(start: Float64Array, step: MassStep, amount: (mass: Float64Array) => number): RunLength {
  let mass: Float64Array = start;
  let after: Float64Array = new Float64Array(start.length);
  let survival = 1;
  let mean = 0;
  let square = 0;
  for (let point = 0; point < MOST_POINTS; point += 1) {
    mean += survival;
    square += (2 * point + 1) * survival;
    after.fill(0);
    const fired = step(mass, after) / survival;
    const left = amount(after);
    if (left <= GONE * mean) return { mean, sd: Math.sqrt(Math.max(square - mean * mean, 0)) };
    let change = 0;
    for (let i = 0; i < mass.length; i += 1) change += Math.abs(after[i]! / left - mass[i]! / survival);
    [mass, after] = [after, mass];
    survival = left;
    if (change > SETTLED) continue;
    const share = 1 - fired;
    mean += survival / fired;
    square += survival * ((2 * point + 3) / fired + (2 * share) / (fired * fired));
    return { mean, sd: Math.sqrt(Math.max(square - mean * mean, 0)) };
  }
  throw new RangeError(`survival did not settle within ${MOST_POINTS} points`);
}
