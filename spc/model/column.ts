/**
 * Numbers by place, null where there is none. Ten million places must fit into memory, so a column is one number for
 * all places or one typed array; it is never a list of objects.
 */
export interface Column {
  readonly length: number;
  at(place: number): number | null;
  /**
   * For loops over millions of places only: the number of every place, or one for each. Whatever is not finite stands
   * for none and must be asked for with `Number.isFinite` before it is compared.
   */
  readonly raw: number | Float64Array;
}

/** A column of one number for each place; what is not finite is none. */
export function columnOf(raw: Float64Array): Column {
  return { length: raw.length, raw, at: (place) => finite(raw[place]) };
}

/** The same number at every place, or none at any. */
export function constantColumn(value: number | null, length: number): Column {
  const raw = value ?? Number.NaN;
  const one = finite(raw);
  return { length, raw, at: (place) => (place >= 0 && place < length ? one : null) };
}

/** A column from a list in which null stands for none. */
export function columnFrom(values: readonly (number | null)[]): Column {
  return columnOf(Float64Array.from(values, (value) => value ?? Number.NaN));
}

function finite(value: number | undefined): number | null {
  return value !== undefined && Number.isFinite(value) ? value : null;
}
