import { expect, test } from "vitest";
import { chanceBeyond, exactLimits } from "../../../../spc/drawn/count-law.ts";
import { binomialCdf, poissonCdf } from "../../../../spc/library/counts.ts";
import { normalCdf } from "../../../../spc/library/normal.ts";

const alpha = 2 * normalCdf(-3);

test.each([
  ["binomial", 50, 0.2313],
  ["binomial", 50, 0.01],
  ["binomial", 3, 0.5],
  ["binomial", 1000, 0.999],
  ["poisson", 1, 16],
  ["poisson", 2.5, 0.3],
  ["poisson", 1, 1e6],
] as const)(
  "exact limits of the %s, size %d, rate %d, are the narrowest that chance passes rarely enough",
  (law, size, rate) => {
    const { lower, upper } = exactLimits(law, size, rate, alpha);
    const atMost = (x: number): number => {
      if (x < 0) return 0;
      if (law === "poisson") return poissonCdf(x, size * rate);
      return x >= size ? 1 : binomialCdf(x, size, rate);
    };
    expect(1 - atMost(upper)).toBeLessThanOrEqual(alpha / 2);
    if (upper > 0) expect(1 - atMost(upper - 1)).toBeGreaterThan(alpha / 2);
    expect(atMost(lower - 1)).toBeLessThanOrEqual(alpha / 2);
    expect(atMost(lower)).toBeGreaterThan(alpha / 2);
    const { below, above } = chanceBeyond(law, size, rate, { lower, upper });
    expect(below + above).toBeLessThanOrEqual(alpha);
  },
);

test("a limit that the arithmetic leaves a last bit below a whole number counts as that number", () => {
  const at = chanceBeyond("poisson", 1, 16, { lower: 4, upper: 28 });
  expect(chanceBeyond("poisson", 1, 16, { lower: 4 + 4e-15, upper: 28 - 4e-15 })).toEqual(at);
  expect(at.above).toBeCloseTo(1 - poissonCdf(28, 16), 14);
  expect(at.below).toBeCloseTo(poissonCdf(3, 16), 14);
});

test("what is no chance, or too many to be told apart, is a defect", () => {
  for (const bad of [0, 1, -1, Number.NaN]) expect(() => exactLimits("poisson", 1, 5, bad)).toThrow(RangeError);
  expect(() => exactLimits("poisson", 1e300, 5, alpha)).toThrow(RangeError);
  expect(() => exactLimits("poisson", 1, Number.NaN, alpha)).toThrow(RangeError);
});
