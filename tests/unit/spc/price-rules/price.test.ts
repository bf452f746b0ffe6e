import { expect, test } from "vitest";
import { estimatedLimits } from "../../../../spc/price/estimated-limits.ts";
import { sharedLoad, shareOfChart } from "../../../../spc/price/load-several-charts.ts";
import { familyFalseAlarm } from "../../../../spc/price/phase1-family.ts";
import { priceOf } from "../../../../spc/price/rules-price.ts";
import { ruleById } from "../../../../spc/rules/rule.ts";
import { ruleChain } from "../../../../spc/rules/rule-chain.ts";
import { averageRunLength, chanceWithin, rulesRunLength } from "../../../../spc/rules/run-length.ts";

const limit = ruleById("beyond-limit");
const nine = ruleById("nine-on-one-side");

test("no rules have no price, and lines that nothing crosses have none either", () => {
  const none = priceOf([], { pointsAWeek: 100 });
  expect(!none.ok && none.refusal.code).toBe("no-rules");
  const wide = priceOf(["beyond-limit"], { pointsAWeek: 100, limit: 60 });
  expect(!wide.ok && wide.refusal.code).toBe("never-fires");
  expect(averageRunLength([])).toBe(Number.POSITIVE_INFINITY);
});

test("a rate, a shift or a limit that is no number is a defect", () => {
  for (const wrong of [Number.NaN, Number.POSITIVE_INFINITY, -1]) {
    expect(() => priceOf(["beyond-limit"], { pointsAWeek: wrong })).toThrow(RangeError);
    expect(() => priceOf(["beyond-limit"], { pointsAWeek: 1, limit: wrong })).toThrow(RangeError);
  }
  expect(() => priceOf(["beyond-limit"], { pointsAWeek: 1, shift: Number.NaN })).toThrow(RangeError);
  expect(() => priceOf(["ten-in-a-row"], { pointsAWeek: 1 })).toThrow(RangeError);
  expect(() => rulesRunLength([])).toThrow(RangeError);
  expect(() => chanceWithin([limit], -1)).toThrow(RangeError);
  expect(() => familyFalseAlarm([limit], 2.5)).toThrow(RangeError);
  expect(() => ruleChain([ruleById("six-in-one-direction")])).toThrow(/neighbours/);
});

test("naming a rule twice costs what naming it once does", () => {
  const once = priceOf(["beyond-limit"], { pointsAWeek: 100 });
  expect(priceOf(["beyond-limit", "beyond-limit"], { pointsAWeek: 100 })).toEqual(once);
});

test("more rules cost more, a larger shift is found sooner, and a shift costs the same on either side", () => {
  expect(averageRunLength([limit, nine])).toBeLessThan(averageRunLength([limit]));
  const found = [0, 0.5, 1, 2, 4].map((shift) => averageRunLength([limit, nine], shift));
  expect([...found].sort((a, b) => b - a)).toEqual(found);
  expect(averageRunLength([limit, nine], -1)).toBeCloseTo(averageRunLength([limit, nine], 1), 9);
});

test("a baseline without points signals nothing, and one of one point only beyond its limits", () => {
  expect(chanceWithin([limit, nine], 0)).toBe(0);
  expect(chanceWithin([limit, nine], 1)).toBeCloseTo(0.0026998, 7);
  expect(chanceWithin([nine], 8)).toBe(0);
  expect(chanceWithin([nine], 9)).toBeCloseTo(2 / 512, 12);
});

test("limits from few values are refused, and their mean run length is not given where it is infinite", () => {
  const few = estimatedLimits({ estimator: "moving-range", points: 4, size: 1 });
  expect(!few.ok && few.refusal).toMatchObject({ code: "too-few", needs: 5, has: 4 });
  const ten = estimatedLimits({ estimator: "overall", points: 10, size: 1 });
  expect(ten.ok && ten.value.meanRunLength).toBeNull();
  expect(() => estimatedLimits({ estimator: "pooled-s", points: 20, size: 1 })).toThrow(RangeError);
  expect(() => estimatedLimits({ estimator: "overall", points: 20, size: 5 })).toThrow(RangeError);
  expect(() => estimatedLimits({ estimator: "overall", points: 20, size: 1, limit: Number.NaN })).toThrow(RangeError);
});

test("with many values estimated limits are worth what known ones are", () => {
  const many = estimatedLimits({ estimator: "pooled-s", points: 20_000, size: 5 });
  expect(many.ok && Math.abs(many.value.medianRunLength - 370.4)).toBeLessThan(1);
  expect(many.ok && Math.abs(many.value.meanRunLength! - 370.4)).toBeLessThan(1);
  expect(many.ok && many.value.shareBelow(300)).toBeLessThan(1e-6);
});

test("several charts: one chart has the whole chance, and what is no chance is a defect", () => {
  expect(sharedLoad(0.01, 1).anySignal).toBeCloseTo(0.01, 15);
  expect(shareOfChart(0.01, 1).chance).toBeCloseTo(0.01, 15);
  for (const wrong of [0, 1, Number.NaN]) expect(() => sharedLoad(wrong, 3)).toThrow(RangeError);
  for (const wrong of [0, 1.5, Number.NaN]) expect(() => shareOfChart(0.01, wrong)).toThrow(RangeError);
});
