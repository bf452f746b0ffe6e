import { type Outcome, ok, refuse } from "../model/outcome.ts";
import { median } from "./quantile.ts";

/** A straight line y = at + slope (x - x0), written about a place among its points, so that nothing cancels. */
export interface Line {
  readonly x0: number;
  readonly at: number;
  readonly slope: number;
}

export type Pair = readonly [x: number, y: number];

/**
 * Line of least squares through points.
 *
 * @shape   two or more points, not all at one x
 * @unit    slope: that of y over that of x
 * @method  about the means of x and y
 * @refuses `too-few` for fewer than two points, or all at one x; `not-finite`
 * @cost    O(n)
 * @source  NIST/SEMATECH e-Handbook 4.1.4.1 (from memory)
 * @checked tests/reference/spc/stats/line.test.ts
 */
export function leastSquaresLine(points: readonly Pair[]): Outcome<Line> {
  const n = points.length;
  let [x0, at] = [0, 0];
  for (const [x, y] of points) {
    x0 += x / n;
    at += y / n;
  }
  let [xy, xx] = [0, 0];
  for (const [x, y] of points) {
    xy += (x - x0) * (y - at);
    xx += (x - x0) ** 2;
  }
  if (n < 2 || xx === 0) return refuse("too-few", "a line needs two places", { needs: 2, has: Math.min(n, 1) });
  return finite({ x0, at, slope: xy / xx });
}

/**
 * Robust line: one point in four may lie anywhere and hardly moves it.
 *
 * @shape   two or more points, not all at one x
 * @unit    slope: that of y over that of x
 * @method  slope: median of the slopes of all pairs at different x; height: median of y - slope (x - median x)
 * @refuses `too-few` for fewer than two points, or all at one x; `not-finite`
 * @cost    O(n^2 log n)
 * @source  Theil (1950) and Sen, J. Am. Stat. Assoc. 63 (1968) 1379-1389 (from memory)
 * @checked tests/reference/spc/stats/line.test.ts
 */
export function robustLine(points: readonly Pair[]): Outcome<Line> {
  const slopes: number[] = [];
  for (const [i, [xi, yi]] of points.entries()) {
    for (const [xj, yj] of points.slice(i + 1)) if (xj !== xi) slopes.push((yj - yi) / (xj - xi));
  }
  if (slopes.length === 0)
    return refuse("too-few", "a line needs two places", { needs: 2, has: Math.min(points.length, 1) });
  const slope = median(slopes);
  const x0 = median(points.map(([x]) => x));
  return finite({ x0, at: median(points.map(([x, y]) => y - slope * (x - x0))), slope });
}

/**
 * Height of a line at a place.
 *
 * @unit   that of y
 * @method at + slope (x - x0)
 * @source definition
 */
export function heightAt(line: Line, x: number): number {
  return line.at + line.slope * (x - line.x0);
}

/**
 * Standard deviation of points about their line of least squares.
 *
 * @shape   three or more points, not all at one x
 * @unit    that of y
 * @method  square root of the residuals' sum of squares over n - 2
 * @refuses `too-few`, `not-finite`
 * @cost    O(n)
 * @source  NIST/SEMATECH e-Handbook 4.1.4.1 (from memory)
 * @checked tests/reference/spc/stats/line.test.ts
 */
export function scatterAboutLine(points: readonly Pair[]): Outcome<number> {
  const line = leastSquaresLine(points);
  if (!line.ok) return line;
  if (points.length < 3)
    return refuse("too-few", "scatter about a line needs 3 points", { needs: 3, has: points.length });
  let squares = 0;
  for (const [x, y] of points) squares += (y - heightAt(line.value, x)) ** 2;
  const scatter = Math.sqrt(squares / (points.length - 2));
  return Number.isFinite(scatter) ? ok(scatter) : refuse("not-finite", "the points leave the range of numbers");
}

function finite(line: Line): Outcome<Line> {
  return Object.values(line).every(Number.isFinite)
    ? ok(line)
    : refuse("not-finite", "the points leave the range of numbers");
}
