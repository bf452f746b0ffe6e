import type { StepRule } from "../rules/rule.ts";
import type { RunLength } from "../rules/survival.ts";
import { runLengthOf } from "../rules/survival.ts";

/** Terms of a density; its shape is so smooth that these carry all digits. */
const TERMS = 40;

/**
 * Run length of steps: how many points a trend or an alternating rule lets pass by itself.
 *
 * @shape   a row of the kind trend or alternating
 * @unit    dimensionless, points
 * @method  only the order of values counts, so they may be taken as uniform, whatever the process is and wherever it
 *          lies. After k steps that fit, the density of the newest value is a Chebyshev series; a step integrates it.
 *          Up and down are mirror images, so one of them is followed. Survival is summed as in `runLengthOf`
 * @throws  RangeError for a rule over fewer than three points
 * @cost    O(points terms) a point, some hundred points
 * @source  derived here
 * @checked tests/reference/spc/price-rules/run-lengths.test.ts
 */
export function stepsRunLength(rule: StepRule): RunLength {
  const layers = rule.points - 2;
  if (!(Number.isInteger(layers) && layers >= 1))
    throw new RangeError(`a step rule needs three points: ${rule.points}`);
  // Row 0 stands for nothing seen yet and row 1 for one value without a step; then one row for each number of steps.
  const start = new Float64Array((layers + 2) * TERMS);
  start[0] = 1;
  const rowOf = (mass: Float64Array, row: number): Float64Array => mass.subarray(row * TERMS, (row + 1) * TERMS);
  const amount = (mass: Float64Array): number => {
    let sum = mass[0]!;
    for (let row = 1; row < layers + 2; row += 1) sum += areaOf(rowOf(mass, row));
    return sum;
  };
  const step = (before: Float64Array, after: Float64Array): number => {
    after[TERMS] = before[0]!;
    addIntegral(rowOf(before, 1), false, 2, rowOf(after, 2));
    for (let row = 2; row < layers + 2; row += 1) {
      // A trend goes on upwards from below; an alternation goes on from the mirror image.
      const density = rowOf(before, row);
      if (row + 1 < layers + 2) addIntegral(density, rule.kind === "alternating", 1, rowOf(after, row + 1));
      addIntegral(density, rule.kind === "trend", 1, rowOf(after, 2));
    }
    return amount(before) - amount(after);
  };
  return runLengthOf(start, step, amount);
}

/** Area under a Chebyshev series over 0 to 1. */
function areaOf(series: Float64Array): number {
  let sum = 0;
  for (let n = 0; n < TERMS; n += 2) sum += series[n]! / (1 - n * n);
  return sum;
}

/** Adds the integral from 0 of a series over 0 to 1, or of its mirror image. */
function addIntegral(series: Float64Array, mirrored: boolean, times: number, to: Float64Array): void {
  const at = (n: number): number => (n >= TERMS ? 0 : mirrored && n % 2 === 1 ? -series[n]! : series[n]!);
  let atZero = 0;
  for (let n = 1; n < TERMS; n += 1) {
    const term = (times * ((n === 1 ? 2 : 1) * at(n - 1) - at(n + 1))) / (4 * n);
    to[n]! += term;
    atZero += n % 2 === 1 ? -term : term;
  }
  to[0]! -= atZero;
}
