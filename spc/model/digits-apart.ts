/** Digits that are added at most: values closer than that are written alike. */
const mostMore = 4;

/**
 * Digits after the point with which a value and the line that it is held against are not written alike: a value below
 * its limit must not read as equal to it.
 *
 * @shape   two finite numbers of one unit, and the digits that the instrument deserves
 * @unit    none
 * @method  the digits given, or as many more, up to four, as tell the two apart
 * @source  definition
 * @checked tests/unit/spc/model/digits-apart.test.ts
 */
export function digitsApart(value: number, line: number, digits: number): number {
  for (let more = 0; more <= mostMore; more += 1) {
    const [a, b] = [value.toFixed(digits + more), line.toFixed(digits + more)];
    // As numbers: a nought is written without its sign.
    if (Number(a) !== Number(b)) return digits + more;
  }
  return digits;
}
