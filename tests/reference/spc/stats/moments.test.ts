import { expect, test } from "vitest";
import { autocorrelation, autocorrelationBand } from "../../../../spc/stats/autocorrelation.ts";
import { moments } from "../../../../spc/stats/moments.ts";
import { referenceData, relativeError } from "../data.ts";

interface Certified {
  readonly n: number;
  readonly mean: number;
  readonly sd: number;
  readonly lag1: number;
  readonly values?: readonly number[];
}

const strd = referenceData<Record<string, Certified>>("strd");

/** The files of the three hard sets hold one value, then two in turn about it, 1,001 in all. */
const alternating = (first: number, low: number, high: number): number[] => [
  first,
  ...Array.from({ length: 1000 }, (_, i) => (i % 2 === 0 ? low : high)),
];

// Digits that survive: double precision cannot write 10000000.1 closer than 1e-9, so sd of NumAcc4 keeps eight.
const sets: [string, Certified, number][] = [
  ["Lew", strd["Lew"]!, 1e-13],
  ["Lottery", strd["Lottery"]!, 1e-13],
  ["PiDigits", strd["PiDigits"]!, 1e-13],
  ["NumAcc1", strd["NumAcc1"]!, 1e-14],
  ["NumAcc2", { ...strd["NumAcc2"]!, values: alternating(1.2, 1.1, 1.3) }, 1e-12],
  // Certified values of the last two from memory.
  [
    "NumAcc3",
    { n: 1001, mean: 1000000.2, sd: 0.1, lag1: -0.999, values: alternating(1000000.2, 1000000.1, 1000000.3) },
    1e-9,
  ],
  [
    "NumAcc4",
    { n: 1001, mean: 10000000.2, sd: 0.1, lag1: -0.999, values: alternating(10000000.2, 10000000.1, 10000000.3) },
    1e-8,
  ],
];

test.each(sets)("NIST StRD %s: certified mean, standard deviation and lag-1 autocorrelation", (_, set, tolerance) => {
  const values = set.values!;
  const found = moments(values);
  expect(found.n).toBe(set.n);
  expect(relativeError(found.mean, set.mean)).toBeLessThan(1e-14);
  expect(relativeError(found.sd, set.sd)).toBeLessThan(tolerance);
  expect(relativeError(autocorrelation(values, 1), set.lag1)).toBeLessThan(Math.max(tolerance, 1e-11));
});

test("autocorrelation of the beam deflections up to lag 10 is that of NIST/SEMATECH e-Handbook 1.3.5.12 (from memory)", () => {
  const printed = [-0.31, -0.74, 0.77, 0.21, -0.9, 0.38, 0.63, -0.77, -0.12, 0.82];
  const found = printed.map((_, i) => autocorrelation(strd["Lew"]!.values!, i + 1));
  for (const [i, r] of found.entries()) expect(Math.abs(r - printed[i]!)).toBeLessThan(0.00501);
});

test("the band of lag-1 autocorrelation is 1.96 over the root of n (NIST/SEMATECH e-Handbook 1.3.3.1, from memory)", () => {
  expect(autocorrelationBand(100)[1]).toBeCloseTo(0.196, 4);
  expect(autocorrelationBand(100)[0]).toBeCloseTo(-0.196, 4);
});

test("a missing value costs its pairs and scales the rest", () => {
  expect(autocorrelation([1, -1, 1, -1, null, 1, -1], 1)).toBeCloseTo((-4 / 6) * (5 / 4), 12);
});
