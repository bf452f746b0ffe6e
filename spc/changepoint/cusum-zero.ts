import type { Column } from "../model/column.ts";

/**
 * Change point from a CUSUM: the place after the last at which the signalling sum stood at zero.
 *
 * @shape   the signalling side's sums by place; `upTo`: how many places count, the signalling one being the last
 * @unit    a place
 * @method  one more than the last place whose sum is zero; 0 when none was. A place without a sum holds the sum before
 *          it and is no zero. The head start of a sum is no zero either
 * @throws  RangeError for `upTo` out of range: a defect in the caller
 * @cost    O(places since the change)
 * @source  Page 1954, Biometrika 41:100-115; NIST/SEMATECH e-Handbook 6.3.2.3 (both from memory)
 * @checked tests/reference/spc/changepoint/changepoint.test.ts
 */
export function changePointByCusumZero(sums: Column, upTo: number): number {
  if (!(Number.isInteger(upTo) && upTo >= 1 && upTo <= sums.length)) {
    throw new RangeError(`the places up to the signal must be 1 to ${sums.length}, got ${upTo}`);
  }
  for (let place = upTo - 1; place >= 0; place -= 1) if (sums.at(place) === 0) return place + 1;
  return 0;
}
