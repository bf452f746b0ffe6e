import { expect, test } from "vitest";
import { notPositive, outside, shown } from "../../../../spc/physics/range.ts";

const range = { from: -1, to: 2, unit: "Cel" };

test("both ends of a range belong to it, and no number lies outside every range", () => {
  for (const value of [-1, 0, 2]) expect(outside("temperature-out-of-range", "x", value, range)).toBeUndefined();
  for (const value of [-1.000001, 2.000001, Number.NaN, Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY]) {
    expect(outside("temperature-out-of-range", "x", value, range)?.refusal.code).toBe("temperature-out-of-range");
  }
});

test("the sentence says what, the range and the number", () => {
  expect(outside("temperature-out-of-range", "humidity", 3, range)?.refusal.detail).toBe(
    "humidity is computed from -1 to 2 Cel, got 3",
  );
  expect(notPositive("a mass in g", 0)?.refusal).toEqual({
    code: "not-positive",
    detail: "a mass in g must be above 0, got 0",
  });
});

test("what must be above 0 is so and is a number", () => {
  expect(notPositive("x", 1e-300)).toBeUndefined();
  for (const value of [0, -0, -1, Number.NaN, Number.POSITIVE_INFINITY]) {
    expect(notPositive("x", value)?.refusal.code).toBe("not-positive");
  }
});

test("a computed number is told in four digits", () => {
  expect([2.4000000000000057, 13.662, 0.00012345678, 1014.18, 2].map(shown)).toEqual([
    "2.4",
    "13.66",
    "0.0001235",
    "1014",
    "2",
  ]);
});
