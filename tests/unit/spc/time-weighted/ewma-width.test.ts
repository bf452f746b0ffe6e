import { expect, test } from "vitest";
import { ewmaFactor, ewmaVariance } from "../../../../spc/charts/ewma-width.ts";

test("the settled variance is lambda / (2 - lambda), and the whole for lambda 1", () => {
  expect(ewmaVariance(0.2)).toBeCloseTo(0.2 / 1.8, 15);
  expect(ewmaVariance(1)).toBe(1);
  expect(ewmaVariance(1, { share: 1, phi: 0.7 })).toBeCloseTo(1, 15);
});

test("with a dependent share the variance grows as Schmid's formula says, and by parts between", () => {
  const plain = ewmaVariance(0.2);
  const whole = ewmaVariance(0.2, { share: 1, phi: 0.5 });
  expect(whole / plain).toBeCloseTo((1 + 0.4) / (1 - 0.4), 12);
  expect(ewmaVariance(0.2, { share: 0.5, phi: 0.5 })).toBeCloseTo((plain + whole) / 2, 12);
  expect(ewmaVariance(0.2, { share: 0, phi: 0.9 })).toBe(plain);
});

test("the head start begins at f and stands at 0.99 of the width at the twentieth point", () => {
  expect(ewmaFactor(0.5, 1)).toBeCloseTo(0.5, 15);
  expect(ewmaFactor(0.5, 20)).toBeCloseTo(0.99, 12);
  expect(ewmaFactor(0.3, 20)).toBeCloseTo(0.99, 12);
  expect(ewmaFactor(null, 1)).toBe(1);
});

test("what cannot be meant is a defect in the caller", () => {
  for (const lambda of [0, 1.1, Number.NaN]) expect(() => ewmaVariance(lambda)).toThrow(RangeError);
  for (const f of [0, 1, Number.NaN]) expect(() => ewmaFactor(f, 1)).toThrow(RangeError);
  expect(() => ewmaFactor(0.5, 0)).toThrow(RangeError);
});
