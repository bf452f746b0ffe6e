import { expect, test } from "vitest";
import {
  type ResistanceClass,
  type ResistanceKind,
  resistanceTolerance,
} from "../../../../spc/physics/resistance-thermometer.ts";
import { answerOf, codeOf } from "./outcome.ts";

// A public sheet of tolerances of IEC 60751:1995, classes A and B (scribd.com 602071032, excerpt); the standard was not
// opened. Its rows beyond the ranges of 2008 are refused.
test.each<readonly [ResistanceClass, number, number]>([
  ["A", -100, 0.35],
  ["A", 0, 0.15],
  ["A", 100, 0.35],
  ["A", 200, 0.55],
  ["A", 300, 0.75],
  ["A", 400, 0.95],
  ["B", -100, 0.8],
  ["B", 0, 0.3],
  ["B", 100, 0.8],
  ["B", 200, 1.3],
  ["B", 300, 1.8],
  ["B", 500, 2.8],
  ["B", 600, 3.3],
])(
  "IEC 60751: class %s, wire-wound, at %d Cel is +-%d K [as quoted, standard not opened]",
  (grade, tCel, tolerance) => {
    expect(answerOf(resistanceTolerance(grade, "wire-wound", tCel))).toBeCloseTo(tolerance, 10);
  },
);

// Of the edition of 2008, which added AA and C (service.rotronic.com, Pt100 details, excerpt).
test("class AA is 0.1 + 0.0017 |t| and class C 0.6 + 0.01 |t| [as quoted, standard not opened]", () => {
  expect(answerOf(resistanceTolerance("AA", "film", 100))).toBeCloseTo(0.27, 12);
  expect(answerOf(resistanceTolerance("C", "film", -50))).toBeCloseTo(1.1, 12);
});

test.each<readonly [ResistanceClass, ResistanceKind, number, number]>([
  ["AA", "wire-wound", -50, 250],
  ["AA", "film", 0, 150],
  ["A", "wire-wound", -100, 450],
  ["A", "film", -30, 300],
  ["B", "wire-wound", -196, 600],
  ["B", "film", -50, 500],
  ["C", "wire-wound", -196, 600],
  ["C", "film", -50, 600],
])("class %s, %s, holds from %d to %d Cel and no further [from memory]", (grade, kind, from, to) => {
  for (const tCel of [from, to]) expect(answerOf(resistanceTolerance(grade, kind, tCel))).toBeGreaterThan(0);
  for (const tCel of [from - 0.01, to + 0.01, Number.NaN, Number.POSITIVE_INFINITY]) {
    expect(codeOf(resistanceTolerance(grade, kind, tCel))).toBe("temperature-out-of-range");
  }
});
