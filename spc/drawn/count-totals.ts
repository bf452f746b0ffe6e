import type { ChartDesign } from "../model/chart-design.ts";
import type { Counted } from "../model/counted.ts";
import { checkDesign } from "../sigma/check-design.ts";
import type { CountLaw } from "./count-law.ts";

/** What all places of counted data come to. */
export interface CountTotals {
  /** Counts over sizes, within the baseline; NaN without any size. */
  readonly rate: number;
  /** Places of the baseline with a count and a size above zero. */
  readonly n: number;
  /** The size, where every place that has one has the same. */
  readonly size: number | null;
  /** The least and the greatest size above zero. */
  readonly sizes: readonly [number, number];
}

/**
 * Totals of counts: how many were found, in how much, over a baseline.
 *
 * @shape   counts with their sizes by place; a missing count, or a size that is missing or zero, is skipped
 * @unit    rate in counts for one unit of size
 * @method  sum of counts over sum of sizes; sizes, which need not be whole for the Poisson, are added with the
 *          rounding carried along
 * @throws  RangeError for a count that is negative or not whole, a size that is negative (or, for the binomial, not
 *          whole), more counts than pieces, columns of two lengths, a design that cannot be meant: a defect in the caller
 * @cost    O(n)
 * @source  NIST/SEMATECH e-Handbook 6.3.3.2; carried rounding: Neumaier 1974 (from memory)
 * @checked tests/unit/spc/attributes/count-chart.test.ts
 */
export function countTotals(data: Counted, law: CountLaw, design: ChartDesign): CountTotals {
  const { counts, sizes } = data;
  const length = counts.length;
  if (sizes.length !== length) throw new RangeError(`${length} counts have ${sizes.length} sizes`);
  checkDesign(design, length);
  const { from, to } = design.baseline;
  let found = 0;
  let n = 0;
  let whole = 0;
  let lost = 0;
  let least = Number.POSITIVE_INFINITY;
  let most = 0;
  for (let place = 0; place < length; place += 1) {
    const count = typeof counts.raw === "number" ? counts.raw : counts.raw[place]!;
    const size = typeof sizes.raw === "number" ? sizes.raw : sizes.raw[place]!;
    checkSize(size, law);
    if (!Number.isFinite(count) || !Number.isFinite(size)) continue;
    checkCount(count, size, law);
    if (size === 0) continue;
    if (size < least) least = size;
    if (size > most) most = size;
    if (place < from || place >= to) continue;
    n += 1;
    found += count;
    const sum = whole + size;
    lost += whole >= size ? whole - sum + size : size - sum + whole;
    whole = sum;
  }
  return { rate: found / (whole + lost), n, size: least === most ? least : null, sizes: [least, most] };
}

function checkSize(size: number, law: CountLaw): void {
  if (size < 0) throw new RangeError(`a size is zero or more, got ${size}`);
  if (law === "binomial" && Number.isFinite(size) && !Number.isSafeInteger(size))
    throw new RangeError(`a number of pieces is whole, got ${size}`);
}

function checkCount(count: number, size: number, law: CountLaw): void {
  if (!(Number.isSafeInteger(count) && count >= 0))
    throw new RangeError(`a count is whole and zero or more, got ${count}`);
  if (law === "binomial" && count > size) throw new RangeError(`${count} of ${size} pieces cannot be`);
}
