import fc from "fast-check";

/** Series that have broken statistics before. */
export const hostile: readonly (readonly [string, readonly number[]])[] = [
  ["nothing", []],
  ["one value", [3]],
  ["two equal values", [3, 3]],
  ["equal values", Array(30).fill(0.1)],
  ["huge values", Array.from({ length: 30 }, (_, i) => 1e300 * Math.sin(i))],
  ["tiny values", Array.from({ length: 30 }, (_, i) => 1e-300 * Math.sin(i))],
  ["the tiniest values", Array.from({ length: 30 }, (_, i) => 5e-324 * (i % 3))],
  ["a small spread on a large level", Array.from({ length: 30 }, (_, i) => 1e7 + 0.1 * (i % 3))],
  ["the last bit on a large level", Array.from({ length: 30 }, (_, i) => 1e7 + 2e-9 * (i % 2))],
  ["one value far out", [...Array(29).fill(1), 1e300]],
  ["two levels", Array.from({ length: 30 }, (_, i) => (i < 15 ? 0.1 : 0.3))],
  ["huge levels of both signs", Array.from({ length: 30 }, (_, i) => (i < 15 ? -1e300 : 1e300) * (1 + 0.01 * (i % 5)))],
  ["negative values", Array.from({ length: 30 }, (_, i) => -5 - Math.cos(i))],
  ["zeros of both signs", Array.from({ length: 30 }, (_, i) => (i % 2 === 0 ? 0 : -0))],
];

/** Series of plain values, some of them equal. */
export const plain: fc.Arbitrary<number[]> = fc.array(
  fc.oneof(fc.integer({ min: -20, max: 20 }), fc.double({ min: -20, max: 20, noNaN: true })),
  { minLength: 5, maxLength: 60 },
);

/** Whether every number in an answer is finite. */
export function finiteThroughout(answer: unknown): boolean {
  if (typeof answer === "number") return Number.isFinite(answer);
  if (answer === null || typeof answer !== "object") return true;
  return Object.values(answer).every(finiteThroughout);
}
