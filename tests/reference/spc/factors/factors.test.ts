import { expect, test } from "vitest";
import { c4 } from "../../../../spc/factors/c4.ts";
import { d2 } from "../../../../spc/factors/d2.ts";
import { d3 } from "../../../../spc/factors/d3.ts";
import { referenceData, relativeError } from "../data.ts";

const exact = Object.entries(referenceData<Record<string, { c4: number; d2: number; d3: number }>>("factors"));
const printed =
  referenceData<{ n: number; factor: "c4" | "d2" | "d3"; printed: number; source: string }[]>("factors-printed");
const factors = { c4, d2, d3 };

test("c4, d2 and d3 agree with separately computed values for n = 2 to 25", () => {
  expect(exact).toHaveLength(24);
  for (const [n, factor] of exact) {
    expect(relativeError(c4(Number(n)), factor.c4), `c4(${n})`).toBeLessThan(1e-12);
    expect(relativeError(d2(Number(n)), factor.d2), `d2(${n})`).toBeLessThan(1e-12);
    expect(relativeError(d3(Number(n)), factor.d3), `d3(${n})`).toBeLessThan(1e-9);
  }
});

test("c4, d2 and d3 agree with the printed handbook tables (Montgomery, appendix VI, from memory) within their rounding", () => {
  expect(printed.length).toBeGreaterThan(60);
  // Some printed values are no correct roundings; none is off by more than 0.002.
  for (const { n, factor, printed: value } of printed) {
    expect(Math.abs(factors[factor](n) - value), `${factor}(${n})`).toBeLessThan(0.002);
  }
});

test("for two values the factors have closed forms", () => {
  expect(d2(2)).toBeCloseTo(2 / Math.sqrt(Math.PI), 12);
  expect(d3(2)).toBeCloseTo(Math.sqrt(2 - 4 / Math.PI), 9);
  expect(c4(2)).toBeCloseTo(Math.sqrt(2 / Math.PI), 15);
});

test("factors go on beyond the tables, and refuse what is no subgroup", () => {
  expect(d2(100)).toBeGreaterThan(d2(25));
  expect(c4(1000)).toBeGreaterThan(0.9997);
  for (const n of [1, 0, -3, 2.5, Number.NaN]) {
    expect(() => c4(n)).toThrow(RangeError);
    expect(() => d2(n)).toThrow(RangeError);
    expect(() => d3(n)).toThrow(RangeError);
  }
});
