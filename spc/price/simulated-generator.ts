/**
 * Normal numbers from a seed: the same seed gives the same numbers anywhere.
 *
 * @shape   a whole number
 * @unit    standard normal
 * @method  sfc32, a small fast counting generator of 32 bits, and Marsaglia's polar method
 * @source  generator: PractRand by C. Doty-Humphrey; polar method: Marsaglia and Bray 1964, SIAM Review 6:260-264 (both
 *          from memory)
 * @checked tests/unit/spc/price-rules/simulated.test.ts
 */
export function seededNormals(seed: number): () => number {
  let a = 0x9e3779b9 | 0;
  let b = 0x243f6a88 | 0;
  let c = seed | 0;
  let count = 1;
  const uniform = (): number => {
    const sum = (((a + b) | 0) + count) | 0;
    count = (count + 1) | 0;
    a = b ^ (b >>> 9);
    b = (c + (c << 3)) | 0;
    c = (((c << 21) | (c >>> 11)) + sum) | 0;
    // Between -1 and 1, and never at an end or in the middle.
    return (sum + 0.5) / 2147483648;
  };
  for (let round = 0; round < 15; round += 1) uniform();
  let spare: number | null = null;
  return () => {
    if (spare !== null) {
      const kept = spare;
      spare = null;
      return kept;
    }
    for (;;) {
      const x = uniform();
      const y = uniform();
      const square = x * x + y * y;
      if (square >= 1) continue;
      const factor = Math.sqrt((-2 * Math.log(square)) / square);
      spare = y * factor;
      return x * factor;
    }
  };
}
