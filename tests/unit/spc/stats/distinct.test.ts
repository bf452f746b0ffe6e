import { expect, test } from "vitest";
import { distinctValues } from "../../../../spc/stats/distinct.ts";

test("distinctValues counts 0.3 - 0.2 and 0.2 - 0.1 once", () => {
  expect(distinctValues([0.3 - 0.2, 0.2 - 0.1, 0.5])).toBe(2);
});

test("distinctValues of nothing, of zeros, of values that differ in the seventh digit", () => {
  expect(distinctValues([])).toBe(0);
  expect(distinctValues([0, -0, 0])).toBe(1);
  expect(distinctValues([1.000001, 1.000002, 1.000001])).toBe(2);
});
