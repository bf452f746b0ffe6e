import { expect, test } from "vitest";
import { combinedUncertainty, coverageFactor } from "../../../../spc/gauge/combined-uncertainty.ts";
import { rectangular, resolution, triangular } from "../../../../spc/gauge/standard-uncertainty.ts";

// JCGM 100:2008 (GUM), annex H.1 [from memory]: an end gauge of 50 mm compared with a standard; in nm. The components
// of the comparison, 5.8 (df 24), 3.9 (df 5) and 6.7 (df 8), make 9.7 with 25.6 degrees of freedom.
const comparison = combinedUncertainty([
  { u: 5.8, sensitivity: 1, df: 24 },
  { u: 3.9, sensitivity: 1, df: 5 },
  { u: 6.7, sensitivity: 1, df: 8 },
]);

test("GUM H.1 [from memory]: the comparison is uncertain by 9.7 nm with 25.6 degrees of freedom", () => {
  expect(comparison.u.toFixed(1)).toBe("9.7");
  // The example goes on from the rounded 9.7.
  expect((comparison.df! * (9.7 / comparison.u) ** 4).toFixed(1)).toBe("25.6");
});

test("GUM H.1 [from memory]: the length is uncertain by 32 nm, 16 degrees of freedom, 93 nm at 99 %", () => {
  const { u, df } = combinedUncertainty([
    { u: 25, sensitivity: 1, df: 18 },
    { u: 9.7, sensitivity: 1, df: 25.6 },
    { u: 2.9, sensitivity: 1, df: 50 },
    { u: 16.6, sensitivity: 1, df: 2 },
  ]);
  expect(Math.round(u)).toBe(32);
  expect(Math.floor(df!)).toBe(16);
  const k = coverageFactor(0.99, df);
  expect(k.toFixed(2)).toBe("2.92");
  expect(Math.abs(k * u - 93)).toBeLessThan(1);
});

test("GUM 5.2.2 [from memory]: ten resistors, each uncertain by 0.1 ohm through one calibration, add up to 1 ohm", () => {
  const ten = Array.from({ length: 10 }, () => ({ u: 0.1, sensitivity: 1, df: null }));
  const pairs = ten.flatMap((_, one) => ten.slice(one + 1).map((_x, i) => ({ one, other: one + 1 + i, r: 1 })));
  expect(combinedUncertainty(ten, pairs).u).toBeCloseTo(1, 12);
  expect(combinedUncertainty(ten).u).toBeCloseTo(0.1 * Math.sqrt(10), 12);
});

test("GUM 4.3.7, 4.3.9, F.2.2.1 [from memory]: a rectangle 0.58 a, a triangle 0.41 a, a last digit 0.29 of it", () => {
  expect(rectangular(1).toFixed(2)).toBe("0.58");
  expect(triangular(1).toFixed(2)).toBe("0.41");
  expect(resolution(1).toFixed(2)).toBe("0.29");
});
