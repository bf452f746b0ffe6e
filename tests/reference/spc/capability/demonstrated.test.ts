import { expect, test } from "vitest";
import { demonstratedIndex, requiredIndex, valuesNeeded } from "../../../../spc/capability/demonstrated.ts";

// The bounds themselves are asserted record by record in interval.test.ts, with Bissell 1990.
test.each([
  [25, 1.76],
  [30, 1.71],
  [50, 1.61],
  [100, 1.52],
  [200, 1.46],
  [500, 1.41],
])("to show 1.33 at 95 %% with %d values takes an observed %d", (n, observed) => {
  const required = requiredIndex(1.33, n, n - 1, 0.95);
  expect(required).toMatchObject({ ok: true });
  if (required.ok) {
    expect(Math.abs(required.value - observed)).toBeLessThanOrEqual(0.005001);
    expect(valuesNeeded(required.value + 1e-9, 1.33, 0.95)).toEqual({ ok: true, value: n });
  }
});

test("what no number of values can show is refused", () => {
  expect(valuesNeeded(1.33, 1.33, 0.95)).toMatchObject({ refusal: { code: "not-attainable" } });
  expect(valuesNeeded(1.2, 1.33, 0.95)).toMatchObject({ refusal: { code: "not-attainable" } });
  expect(requiredIndex(1.33, 3, 1, 0.99)).toMatchObject({ refusal: { code: "too-few", needs: 3, has: 1 } });
});

test("counts below one and a confidence that is not between one half and one are defects", () => {
  for (const confidence of [0.5, 1, -1, Number.NaN]) {
    expect(() => demonstratedIndex(1, 30, 29, confidence)).toThrow(RangeError);
    expect(() => requiredIndex(1, 30, 29, confidence)).toThrow(RangeError);
    expect(() => valuesNeeded(2, 1, confidence)).toThrow(RangeError);
  }
  expect(() => requiredIndex(1, 0, 0, 0.95)).toThrow(RangeError);
  expect(() => demonstratedIndex(1, Number.NaN, 3, 0.95)).toThrow(RangeError);
});
