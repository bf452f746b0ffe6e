import type { CusumShift } from "../charts/cusum-shift.ts";
import { cusumShift } from "../charts/cusum-shift.ts";
import type { CusumScheme, CusumState } from "../charts/cusum-sums.ts";
import { cusumNext, cusumStart, cusumZ } from "../charts/cusum-sums.ts";
import type { Column } from "../model/column.ts";
import type { Grouped } from "../model/grouped.ts";

/**
 * Shift behind a CUSUM's point: since when, and how large, as the sum's last zero has it.
 *
 * @shape   the same values and corrections that were drawn, the frozen scheme, a side and a place
 * @unit    since: a place; size in sigma of the plotted average; mean in the unit of the characteristic
 * @method  `cusumShift` of the state at the place; null where the sum stands at zero
 * @throws  RangeError for a place outside the series: a defect in the caller
 * @cost    O(place)
 * @source  Page 1954, Biometrika 41:100-115 (from memory)
 * @checked tests/reference/spc/time-weighted/nist-cusum.test.ts
 */
export function cusumShiftAt(
  means: Column,
  { starts }: Pick<Grouped, "starts">,
  scheme: CusumScheme,
  side: "upper" | "lower",
  place: number,
  corrections: readonly number[] = [],
): CusumShift | null {
  if (!(Number.isInteger(place) && place >= 0 && place < means.length))
    throw new RangeError(`a place lies within 0 to ${means.length}, got ${place}`);
  const upTo = Float64Array.from({ length: place + 1 }, (_, i) => means.at(i) ?? Number.NaN);
  return cusumShift(scheme, side, followCusum(scheme, { starts }, upTo, corrections));
}

/**
 * Follows both sums over a series: the fast loop behind `drawCusum`, the same arithmetic as `cusumStage`.
 *
 * @shape   the frozen scheme, starts of subgroups, their averages (NaN for none), corrections; told of every point
 * @unit    sigma of the plotted average
 * @cost    O(n)
 * @source  Page 1954, Biometrika 41:100-115 (from memory)
 * @checked tests/property/spc/time-weighted/cusum.test.ts
 */
export function followCusum(
  scheme: CusumScheme,
  { starts }: Pick<Grouped, "starts">,
  means: Float64Array,
  corrections: readonly number[],
  seen: (place: number, state: CusumState, z: number) => void = () => {},
): CusumState {
  const begun = cusumStart(scheme);
  let state = begun;
  let next = 0;
  for (let i = 0; i < means.length; i += 1) {
    if (corrections[next] === i) {
      state = begun;
      next += 1;
    }
    if (!Number.isFinite(means[i]!)) continue;
    const size = starts[i + 1]! - starts[i]!;
    const z = cusumZ(scheme, means[i]!, size);
    if (z === null) continue;
    state = cusumNext(scheme, state, z, size, i);
    seen(i, state, z);
  }
  return state;
}
