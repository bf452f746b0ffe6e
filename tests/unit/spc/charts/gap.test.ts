import { expect, test } from "vitest";
import { isGap, nextContinuity, unbroken } from "../../../../spc/charts/gap.ts";

/** Places at which memory starts anew, given times in expected intervals and whether each can be judged. */
function anewAt(places: readonly (readonly [number, boolean])[]): number[] {
  let continuity = unbroken;
  const found: number[] = [];
  for (const [at, evaluable] of places) {
    const next = nextContinuity(continuity, at * 1000, evaluable, 1000);
    continuity = next.continuity;
    if (next.anew) found.push(at);
  }
  return found;
}

test("three expected intervals are no gap, more are", () => {
  expect(isGap(0, 3000, 1000)).toBe(false);
  expect(isGap(0, 3001, 1000)).toBe(true);
  expect(() => isGap(0, 1, 0)).toThrow(RangeError);
  expect(() => isGap(0, 1, Number.NaN)).toThrow(RangeError);
});

test("three points that cannot be judged end no memory, the fourth does", () => {
  const judged = (at: number) => [at, true] as const;
  const missing = (at: number) => [at, false] as const;
  expect(anewAt([judged(0), missing(1), missing(2), missing(3), judged(4)])).toEqual([]);
  expect(anewAt([judged(0), missing(1), missing(2), missing(3), missing(4), judged(5)])).toEqual([4]);
});

test("a silence ends memory at the next point, judged or not", () => {
  expect(
    anewAt([
      [0, true],
      [3.1, true],
    ]),
  ).toEqual([3.1]);
  expect(
    anewAt([
      [0, true],
      [3.1, false],
      [4.1, true],
    ]),
  ).toEqual([3.1]);
});

test("missing points far apart end memory by time: four and a half intervals since the last judged one", () => {
  expect(
    anewAt([
      [0, true],
      [2.5, false],
      [5, true],
    ]),
  ).toEqual([5]);
});
