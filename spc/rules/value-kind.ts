import { SLACK } from "./rule-pattern.ts";

/**
 * Step kind: the direction from one value to the next, as `ScanTables` numbers it.
 *
 * @shape   two values on the same lines; what is no number has no step
 * @unit    dimensionless: 0 neither, 1 up, 2 down
 * @source  as `stepDirection`
 * @checked tests/property/spc/rules/signals-of.test.ts
 */
export function stepKind(from: number, to: number): number {
  const slack = SLACK * Math.max(Math.abs(from), Math.abs(to));
  return to > from + slack ? 1 : to < from - slack ? 2 : 0;
}

/**
 * Value kind: between which lines a value lies, or on which, as `ScanTables` numbers it.
 *
 * @shape   a finite value beside its lines
 * @unit    dimensionless: 0 to 10, from below
 * @method  compared with each line as `judge` does
 * @source  as `zoneSide`
 * @checked tests/property/spc/rules/signals-of.test.ts
 */
export function valueKind(value: number, centre: number, sigma: number): number {
  const middle = lineKind(value, centre, 0);
  if (middle === 0) return 5;
  const near = lineKind(value, centre, sigma);
  const far = lineKind(value, centre, 2 * sigma);
  // Beyond line after line, or on one, counted from the centre outwards.
  const away = near < 0 ? 1 : near === 0 ? 2 : far < 0 ? 3 : far === 0 ? 4 : 5;
  return middle > 0 ? 5 + away : 5 - away;
}

/** 1 strictly beyond the lines at centre + and - `away`, 0 on one, -1 inside; without lines apart the sign of the side. */
function lineKind(value: number, centre: number, away: number): number {
  const lower = centre - away;
  const upper = centre + away;
  const slack = SLACK * Math.max(Math.abs(value), Math.abs(lower), Math.abs(upper));
  if (away === 0) return value > upper + slack ? 1 : value < lower - slack ? -1 : 0;
  if (value > upper + slack || value < lower - slack) return 1;
  return lower + slack < value && value < upper - slack ? -1 : 0;
}
