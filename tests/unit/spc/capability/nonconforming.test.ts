import { expect, test } from "vitest";
import { countOutside, expectedPpm, observedPpm } from "../../../../spc/capability/nonconforming.ts";

test("a value on a limit is inside", () => {
  expect(countOutside([1, 2, 3, 4, 5], { lower: 2, upper: 4 })).toBe(2);
  expect(countOutside([1, 2, 3], { lower: 2 })).toBe(1);
  expect(countOutside([], {})).toBe(0);
  expect(() => countOutside([1, Number.NaN], {})).toThrow(RangeError);
});

test("what is expected of fewer than one in the values at hand is extrapolated", () => {
  const few = expectedPpm({ lower: -4, upper: 4 }, 0, 1, 100);
  const many = expectedPpm({ lower: -4, upper: 4 }, 0, 1, 1e6);
  expect(few.ok && few.value.extrapolated).toBe(true);
  expect(many.ok && many.value.extrapolated).toBe(false);
});

test("a mean outside has most values outside, and a side without a limit has none", () => {
  const found = expectedPpm({ upper: 0 }, 3, 1, 100);
  expect(found.ok && found.value.below).toBe(0);
  expect(found.ok && found.value.above).toBeGreaterThan(998_000);
  expect(expectedPpm({}, 0, 1, 10)).toMatchObject({ refusal: { code: "no-specification" } });
});

test("spreads and counts that are none are defects", () => {
  expect(() => expectedPpm({ upper: 1 }, 0, 0, 10)).toThrow(RangeError);
  expect(() => expectedPpm({ upper: 1 }, 0, Number.NaN, 10)).toThrow(RangeError);
  expect(() => expectedPpm({ upper: 1 }, 0, 1, 0)).toThrow(RangeError);
  for (const [count, n] of [
    [-1, 10],
    [11, 10],
    [0, 0],
    [0.5, 10],
    [Number.NaN, 10],
  ] as const) {
    expect(() => observedPpm(count, n, 0.95)).toThrow(RangeError);
  }
  expect(() => observedPpm(1, 10, 1)).toThrow(RangeError);
});
