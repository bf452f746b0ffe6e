/** Largest difference that still counts as equal, relative to the expected value, or absolute near zero. */
export function relativeError(actual: number, expected: number): number {
  return Math.abs(actual - expected) / Math.max(Math.abs(expected), Number.MIN_VALUE);
}
