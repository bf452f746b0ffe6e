/** How far a computed number may lie from a published one. */
export interface Tolerance {
  readonly words: string;
  around(expected: number): number;
}

export const relative = (share: number): Tolerance => ({
  words: `${share} of it`,
  around: (expected) => share * Math.max(Math.abs(expected), Number.MIN_VALUE),
});

export const absolute = (by: number): Tolerance => ({ words: `${by}`, around: () => by });

/** Half a unit of the last decimal printed, and the last bits of the arithmetic. */
export const printed = (decimals: number): Tolerance => ({
  words: `half a unit of decimal ${decimals}`,
  around: (expected) => 0.5 * 10 ** -decimals * (1 + 1e-9) + 1e-12 * Math.abs(expected),
});

/** A simulated value's own standard error, four times. */
export const standardErrors = (standardError: number): Tolerance => ({
  words: `4 standard errors of ${standardError}`,
  around: () => 4 * standardError,
});

/** Whichever allows more. */
export const either = (one: Tolerance, other: Tolerance): Tolerance => ({
  words: `${one.words} or ${other.words}`,
  around: (expected) => Math.max(one.around(expected), other.around(expected)),
});
