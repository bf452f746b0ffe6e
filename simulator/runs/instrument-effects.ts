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
export const pluggedLine: Readonly<Record<string, BySize>> = {
  "mold.plateau": [
    [0.05, -0.00037],
    [0.125, -0.00144],
    [0.25, -0.00833],
    [0.5, -0.0433],
    [1, -0.14],
  ],
  "mold.rise": [
    [0.05, 0.13],
    [0.125, 0.464],
    [0.25, 1.18],
    [0.5, 2.14],
    [1, 2.91],
  ],
  "mold.t_above": [
    [0.05, -0.103],
    [0.125, -0.38],
    [0.25, -0.951],
    [0.5, -2.28],
    [1, -5.88],
  ],
  "mold.int": [
    [0.05, -0.009],
    [0.125, -0.0603],
    [0.25, -0.202],
    [0.5, -0.554],
    [1, -1.34],
  ],
  "mold.cook": [
    [0.05, -0.0014],
    [0.125, 0.0492],
    [0.25, 0.169],
    [0.5, 0.272],
    [1, -1.36],
  ],
  "mold.vent": [
    [0.05, 0.0825],
    [0.125, 0.411],
    [0.25, 1.19],
    [0.5, 3.01],
    [1, 7.03],
  ],
  "mold.zero": [
    [0.05, 0],
    [0.125, -0.0011],
    [0.25, -0.0121],
    [0.5, -0.0752],
    [1, -0.212],
  ],
  "mold.noise": [
    [0.05, 0],
    [0.125, 0.00022],
    [0.25, 0.00226],
    [0.5, 0.00429],
    [1, 0.00249],
  ],
};
/** Pressure is seen so late that the thermometer seems not to have had its time: no mismatch is told from this size on. */
export const pluggedHidesMismatch = 0.3;
export const slowThermocouple: Readonly<Record<string, BySize>> = {
  "mold.dTsat": [
    [0.25, -1.05],
    [0.5, -2.85],
    [1, -8.13],
    [2, -19.6],
  ],
  "mold.t_zero": [
    [0.25, 0.0167],
    [0.5, 0.311],
    [1, 2.51],
    [2, 10.5],
  ],
};
