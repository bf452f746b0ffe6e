import { expect, test } from "vitest";
import { overallToWithin, readingsOfOneState, stabilityIndex } from "../../../../spc/stats/stability.ts";

test("overall to within is the squared ratio of the sigmas", () => {
  expect(overallToWithin(3, 2)).toEqual({ ok: true, value: 2.25 });
});

test("the stability index against the F table: 5 % point of F(24, 99) and its upper tail", () => {
  // R 4.2.2: qf(0.95, 24, 99), pf(2.25, 24, 99, lower.tail = FALSE).
  const found = stabilityIndex({ sigma: 3, df: 24 }, { sigma: 2, df: 99 });
  if (!found.ok) throw new Error(found.refusal.detail);
  expect(found.value.f).toBe(2.25);
  expect(found.value.critical).toBeCloseTo(1.627816277657371, 9);
  expect(found.value.p / 0.002814435468229703).toBeCloseTo(1, 8);
});

test("no spread within, or a ratio beyond all numbers, is refused; a sigma that is none is a defect", () => {
  expect(overallToWithin(1, 0)).toMatchObject({ ok: false, refusal: { code: "zero-variation" } });
  expect(overallToWithin(1e200, 1e-200)).toMatchObject({ ok: false, refusal: { code: "not-finite" } });
  expect(stabilityIndex({ sigma: 1, df: 3 }, { sigma: 0, df: 3 }).ok).toBe(false);
  for (const bad of [-1, Number.NaN, Number.POSITIVE_INFINITY]) {
    expect(() => overallToWithin(bad, 1)).toThrow(RangeError);
    expect(() => overallToWithin(1, bad)).toThrow(RangeError);
  }
  expect(() => stabilityIndex({ sigma: 1, df: 0 }, { sigma: 1, df: 3 })).toThrow(RangeError);
  const none = stabilityIndex({ sigma: 0, df: 9 }, { sigma: 1, df: 9 });
  expect(none.ok && none.value.p).toBe(1);
});

test("members of a subgroup repeat one state when the ratio is large and averages follow each other", () => {
  expect(readingsOfOneState(2.1, 0.31)).toBe(true);
  expect(readingsOfOneState(2, 0.31)).toBe(false);
  expect(readingsOfOneState(5, 0.3)).toBe(false);
});
