import { expect, test } from "vitest";
import {
  type ThermocoupleClass,
  type ThermocoupleType,
  thermocoupleTolerance,
} from "../../../../spc/physics/thermocouple.ts";
import { toleranceShare } from "../../../../spc/physics/tolerance-share.ts";
import { answerOf, codeOf } from "./outcome.ts";

// Tolerances as two public tables print those of IEC 60584-2:1993, since 2013 part of IEC 60584-1 (therncway.net, products,
// and picopolska.pl, Thermocouple tolerances; both were read in excerpts, the standard was not opened): both ends of each
// range and both sides of its knee.
test.each<readonly [ThermocoupleType, ThermocoupleClass, number, number]>([
  ["K", "class-1", -40, 1.5],
  ["K", "class-1", 375, 1.5],
  ["K", "class-1", 1000, 4],
  ["K", "class-2", -40, 2.5],
  ["K", "class-2", 333, 2.5],
  ["K", "class-2", 1200, 9],
  ["K", "class-3", 40, 2.5],
  ["K", "class-3", -167, 2.505],
  ["K", "class-3", -200, 3],
  ["N", "class-1", 1000, 4],
  ["N", "class-2", 1200, 9],
  ["N", "class-3", -200, 3],
  ["E", "class-1", 800, 3.2],
  ["E", "class-2", 900, 6.75],
  ["E", "class-3", -200, 3],
  ["J", "class-1", 750, 3],
  ["J", "class-2", 750, 5.625],
  ["T", "class-1", 125, 0.5],
  ["T", "class-1", 350, 1.4],
  ["T", "class-2", 133, 1],
  ["T", "class-2", 350, 2.625],
  ["T", "class-3", 40, 1],
  ["T", "class-3", -67, 1.005],
  ["T", "class-3", -200, 3],
  ["S", "class-1", 0, 1],
  ["S", "class-1", 1100, 1],
  ["S", "class-1", 1600, 2.5],
  ["S", "class-2", 600, 1.5],
  ["S", "class-2", 1600, 4],
  ["R", "class-1", 1600, 2.5],
  ["R", "class-2", 1600, 4],
  ["B", "class-2", 600, 1.5],
  ["B", "class-2", 1700, 4.25],
  ["B", "class-3", 600, 4],
  ["B", "class-3", 800, 4],
  ["B", "class-3", 1700, 8.5],
])("IEC 60584: type %s, %s, at %d Cel is +-%d K [as quoted, standard not opened]", (type, grade, tCel, tolerance) => {
  expect(answerOf(thermocoupleTolerance(type, grade, tCel))).toBeCloseTo(tolerance, 10);
});

// As a public sheet prints ASTM E230/E230M-12 (scribd.com 351458932, excerpt; the standard was not opened).
test.each<readonly [ThermocoupleType, ThermocoupleClass, number, number]>([
  ["K", "standard", 0, 2.2],
  ["K", "standard", 1260, 9.45],
  ["K", "special", 1260, 5.04],
  ["N", "standard", 1000, 7.5],
  ["J", "standard", 760, 5.7],
  ["J", "special", 100, 1.1],
  ["T", "standard", 370, 2.775],
  ["T", "special", 370, 1.48],
  ["E", "standard", 870, 4.35],
  ["E", "special", 870, 3.48],
  ["S", "standard", 1400, 3.5],
  ["R", "special", 1400, 1.4],
  ["B", "standard", 1700, 8.5],
  ["B", "special", 1700, 4.25],
])("ASTM E230: type %s, %s, at %d Cel is +-%d K [as quoted, standard not opened]", (type, grade, tCel, tolerance) => {
  expect(answerOf(thermocoupleTolerance(type, grade, tCel))).toBeCloseTo(tolerance, 10);
});

// Worked out apart from this code, printed to one decimal.
test.each<readonly [ThermocoupleType, ThermocoupleClass, number, number]>([
  ["K", "class-2", 60, 2.5],
  ["K", "class-2", 750, 5.6],
  ["S", "class-2", 1400, 3.5],
  ["S", "class-1", 1400, 1.9],
])("type %s of %s at %d Cel: +-%d K", (type, grade, tCel, tolerance) => {
  expect(Math.abs(answerOf(thermocoupleTolerance(type, grade, tCel)) - tolerance)).toBeLessThanOrEqual(0.0501);
});

test("a tolerance of +-12 K leaves about half of itself to a class 2 thermocouple of type K at 750 Cel", () => {
  const instrument = answerOf(thermocoupleTolerance("K", "class-2", 750));
  expect(answerOf(toleranceShare(instrument, 738, 762))).toBeCloseTo(5.625 / 12, 10);
});

test("iron at 1400 Cel is beyond type K, whatever line its percentage would make", () => {
  expect(codeOf(thermocoupleTolerance("K", "class-2", 1400))).toBe("temperature-out-of-range");
});

test("a class that the standard does not have is refused", () => {
  for (const [type, grade] of [
    ["B", "class-1"],
    ["J", "class-3"],
    ["R", "class-3"],
    ["S", "class-3"],
  ] as const) {
    expect(codeOf(thermocoupleTolerance(type, grade, 700))).toBe("no-such-class");
  }
});

test("a share of nothing, or of no number, is refused", () => {
  expect(codeOf(toleranceShare(1, 10, 10))).toBe("not-positive");
  expect(codeOf(toleranceShare(1, 12, 10))).toBe("not-positive");
  expect(codeOf(toleranceShare(1, Number.NaN, 10))).toBe("not-finite");
  expect(codeOf(toleranceShare(1, 0, Number.POSITIVE_INFINITY))).toBe("not-finite");
  expect(codeOf(toleranceShare(1e300, 0, 1e-300))).toBe("not-finite");
  expect(answerOf(toleranceShare(1e300, -1e308, 1e308))).toBeCloseTo(1e-8, 15);
  for (const bad of [Number.NaN, -1, Number.POSITIVE_INFINITY])
    expect(() => toleranceShare(bad, 0, 1)).toThrow(RangeError);
});
