import { expect, test } from "vitest";
import { targetIndex, targetInterval } from "../../../../spc/capability/target-index.ts";

// base R 4.2.2: cpm <- 12 / (6 sqrt(4 + 4)); nu <- 30 (1 + 1)^2 / (1 + 2); cpm sqrt(qchisq(c(.025, .975), nu) / nu).
test("Cpm of 30 values one standard deviation off the target, with the interval of Boyles 1991", () => {
  const found = targetIndex({ lower: 8, upper: 20, target: 14 }, 16, 2);
  expect(found.ok && found.value).toBeCloseTo(Math.SQRT1_2, 14);
  const { lower, upper } = targetInterval(Math.SQRT1_2, 30, 1, 0.95);
  expect(lower).toBeCloseTo(0.552641827619932, 11);
  expect(upper).toBeCloseTo(0.861261481368835, 11);
});

test("on the target Cpm is Pp", () => {
  expect(targetIndex({ lower: 8, upper: 20, target: 16 }, 16, 2)).toEqual({ ok: true, value: 1 });
});

test("Cpm needs both sides, and a target that somebody declared", () => {
  expect(targetIndex({ upper: 20, target: 14 }, 16, 2)).toMatchObject({ refusal: { code: "one-sided-specification" } });
  expect(targetIndex({ lower: 8, upper: 20 }, 16, 2)).toMatchObject({ refusal: { code: "no-target" } });
});

test("the interval narrows with the distance to the target and never leaves the numbers", () => {
  let last = Infinity;
  for (const d of [0, 1, 10, 1e6, 1e200, -1e300]) {
    const { lower, upper } = targetInterval(1, 30, d, 0.95);
    expect(lower).toBeGreaterThan(0);
    expect(upper - lower).toBeLessThanOrEqual(last);
    last = upper - lower;
  }
  expect(() => targetInterval(1, 1, 0, 0.95)).toThrow(RangeError);
  expect(() => targetInterval(1, 30, Number.NaN, 0.95)).toThrow(RangeError);
  expect(() => targetInterval(1, 30, 0, 1)).toThrow(RangeError);
});
