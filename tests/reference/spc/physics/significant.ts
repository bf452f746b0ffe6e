import type { Tolerance } from "../../ledger/tolerance.ts";

/** Half a unit of the last of `digits` significant digits, and the last bits of the arithmetic. */
export const significant = (digits: number): Tolerance => ({
  words: `half a unit of significant digit ${digits}`,
  around: (expected) =>
    expected === 0
      ? 0
      : 0.5 * 10 ** (Math.floor(Math.log10(Math.abs(expected))) + 1 - digits) * (1 + 1e-9) + 1e-13 * Math.abs(expected),
});
