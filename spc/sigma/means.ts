/**
 * Mean of the numbers of a column: of statistics, some of which may be none.
 *
 * @shape   one number or more; NaN stands for none
 * @unit    that of the statistic
 * @throws  RangeError without a number: a defect in the caller, named in the words given
 * @cost    O(m)
 * @source  derived here
 * @checked tests/unit/spc/sigma/location.test.ts
 */
export function meanOf(column: Float64Array, what: string): { readonly mean: number; readonly count: number } {
  let from = 0;
  while (from < column.length && Number.isNaN(column[from]!)) from += 1;
  if (from === column.length) throw new RangeError(`${what} needs one or more numbers, got none`);
  const first = column[from]!;
  let sum = 0;
  let none = from;
  for (let i = from; i < column.length; i += 1) {
    const value = column[i]!;
    // From the first, so that a large level does not cost its digits.
    if (Number.isNaN(value)) none += 1;
    else sum += value - first;
  }
  const count = column.length - none;
  return { mean: first + sum / count, count };
}

/**
 * Grand mean: the mean of all values, by way of their subgroups' means.
 *
 * @shape   means of subgroups, NaN for an empty one, and the starts of the same subgroups; one value or more
 * @unit    that of the characteristic
 * @throws  RangeError without a value: a defect in the caller
 * @cost    O(m)
 * @source  derived here
 * @checked tests/reference/spc/sigma/estimators.test.ts
 */
export function grandMean(means: Float64Array, starts: Uint32Array): number {
  const { mean: near } = meanOf(means, "a grand mean");
  let rest = 0;
  let to = starts[0]!;
  for (let i = 0; i < means.length; i += 1) {
    const from = to;
    to = starts[i + 1]!;
    if (to > from) rest += (to - from) * (means[i]! - near);
  }
  return near + rest / (starts[means.length]! - starts[0]!);
}
