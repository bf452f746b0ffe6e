import { expect, test } from "vitest";
import { columnFrom } from "../../../../spc/model/column.ts";
import { dependentShare, fitAr1 } from "../../../../spc/stats/ar1.ts";
import { batchMeanVariance, batchSizeFor, decorrelationSpacing } from "../../../../spc/stats/ar1-batches.ts";
import type { DependenceSeen } from "../../../../spc/stats/ar1-decision.ts";
import { autocorrelationDecision } from "../../../../spc/stats/ar1-decision.ts";
import { autocorrelation } from "../../../../spc/stats/autocorrelation.ts";
import { granted } from "../press-fixtures.ts";
import { dependentSeries } from "./series.ts";

test("phi is the lag-1 autocorrelation, with its uncertainty, and comes near the truth", () => {
  const values = dependentSeries(4000, 0.6, 1, 3);
  const fit = granted(fitAr1(columnFrom(values)));
  expect(fit.phi).toBeCloseTo(autocorrelation(values, 1), 12);
  expect(fit.standardError).toBeCloseTo(Math.sqrt((1 - fit.phi ** 2) / 4000), 15);
  expect(Math.abs(fit.phi - 0.6)).toBeLessThan(4 * fit.standardError);
  expect(fit.significant).toBe(true);
  expect(granted(fitAr1(columnFrom(dependentSeries(200, 0, 0, 8)))).significant).toBe(false);
});

test("the dependent share and its phi come near the truth", () => {
  const found = granted(dependentShare(columnFrom(dependentSeries(20_000, 0.8, 0.5, 12))));
  expect(Math.abs(found.phi - 0.8)).toBeLessThan(0.05);
  expect(Math.abs(found.share - 0.5)).toBeLessThan(0.05);
  const whole = granted(dependentShare(columnFrom(dependentSeries(20_000, 0.5, 1, 13))));
  expect(whole.share).toBeGreaterThan(0.9);
});

test("a negative dependence is not believed, for it would narrow limits", () => {
  const values = Array.from({ length: 40 }, (_, i) => (i % 2 === 0 ? 1 : -1) + 0.01 * i);
  expect(granted(fitAr1(columnFrom(values))).phi).toBeLessThan(-0.9);
  expect(granted(dependentShare(columnFrom(values)))).toEqual({ share: 0, phi: 0 });
});

test("too few values, equal values and values beyond all bounds are refused", () => {
  const codes = [
    [],
    [1, 2, 3],
    Array.from({ length: 20 }, () => 7),
    Array.from({ length: 20 }, (_, i) => (i % 2) * 1.5e308),
  ];
  expect(codes.map((values) => (fitAr1(columnFrom(values)) as { refusal: { code: string } }).refusal.code)).toEqual([
    "too-few",
    "too-few",
    "zero-variation",
    "not-finite",
  ]);
  expect(dependentShare(columnFrom([1])).ok).toBe(false);
});

test("decorrelation spacing is where phi^d falls to a tenth", () => {
  expect(decorrelationSpacing(0.1)).toBe(1);
  expect(decorrelationSpacing(0.5)).toBe(4);
  expect(decorrelationSpacing(Math.sqrt(0.1))).toBe(2);
  expect(decorrelationSpacing(0.9, 0.05)).toBe(29);
  expect(decorrelationSpacing(-0.7)).toBe(1);
  expect(batchSizeFor(-0.5)).toBe(2);
  expect(batchMeanVariance(0, 5)).toBeCloseTo(0.2, 15);
  for (const phi of [1, -1, Number.NaN]) {
    expect(() => decorrelationSpacing(phi)).toThrow(RangeError);
    expect(() => batchSizeFor(phi)).toThrow(RangeError);
    expect(() => batchMeanVariance(phi, 2)).toThrow(RangeError);
  }
  expect(() => batchSizeFor(0.5, 0)).toThrow(RangeError);
  expect(() => decorrelationSpacing(0.5, 1)).toThrow(RangeError);
  expect(() => batchMeanVariance(0.5, 1.5)).toThrow(RangeError);
});

test("ways to chart follow from what was seen", () => {
  const seen: DependenceSeen = { lag1: 0.4, significant: true, step: false, fasterThanProcess: null, season: false };
  const ways = (change: Partial<DependenceSeen>) =>
    autocorrelationDecision({ ...seen, ...change }).map(({ way }) => way);
  expect(ways({ significant: false })).toEqual(["ordinary"]);
  expect(ways({ step: true })).toEqual(["split-at-step"]);
  expect(ways({})).toEqual(["batch-means", "residual", "overall-sigma"]);
  expect(ways({ fasterThanProcess: false })).toEqual(["residual", "overall-sigma"]);
  expect(ways({ season: true })[0]).toBe("remove-season");
  expect(ways({ lag1: 0.95 })).toEqual(["control-action", "residual"]);
  expect(ways({ lag1: -0.4 })).toEqual(["control-action"]);
  const words = autocorrelationDecision({ ...seen, lag1: 0.7 }).map((way) => way.words);
  expect(words[0]).toContain("means of 17");
  expect(words[1]).toContain("EWMA");
  expect(words.every((text) => !text.endsWith("."))).toBe(true);
  expect(() => autocorrelationDecision({ ...seen, lag1: Number.NaN })).toThrow(RangeError);
});
