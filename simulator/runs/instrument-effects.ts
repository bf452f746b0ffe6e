/** What a faulty instrument adds to a feature, by size, in order. */
export type BySize = readonly (readonly [size: number, off: number])[];

/** Straight between the sizes that were tried, and on from the last in proportion. */
export function between(sizes: BySize, size: number): number {
  let [before, off] = [0, 0];
  for (const [next, then] of sizes) {
    if (size <= next) return off + ((then - off) * (size - before)) / (next - before);
    [before, off] = [next, then];
  }
  return before === 0 ? 0 : (off * size) / before;
}

/*
 * Our own simulation: what the product's extractors make of readings with such a fault less what they make of the same
 * readings without.
 */
export const pluggedLine: Readonly<Record<string, BySize>> = {};
export const slowThermocouple: BySize = [];
