import { expect, test } from "vitest";
import { chanceRateSteps } from "../../../../spc/proposal/chance-rate.ts";
import { rulePriceSteps } from "../../../../spc/proposal/rule-prices.ts";
import { WEEK_MS, weeklyRate } from "../../../../spc/proposal/weekly-rate.ts";
import { drained } from "../../../drained.ts";
import { granted, limitsOf } from "../press-fixtures.ts";

const chanceRate = (...asked: Parameters<typeof chanceRateSteps>) => drained(chanceRateSteps(...asked));
const rulePrice = (...asked: Parameters<typeof rulePriceSteps>) => drained(rulePriceSteps(...asked));

const four = ["beyond-limit", "two-of-three-beyond-two-sigma", "four-of-five-beyond-one-sigma", "eight-on-one-side"];

test("switching on the rules of 1956 costs four times as many chance flags", () => {
  const one = chanceRate({ ...limitsOf(), rules: ["beyond-limit"] }, 1_000);
  const all = chanceRate({ ...limitsOf(), rules: four }, 1_000);
  // Champ and Woodall 1987: 370.40 and 91.75 points.
  expect(one.onceIn).toBeCloseTo(370.4, 1);
  expect(all.onceIn).toBeCloseTo(91.75, 2);
  expect(all.aWeek! / one.aWeek!).toBeGreaterThan(3.9);
  expect(all.aWeek! / one.aWeek!).toBeLessThan(4.1);
});

test("each rule has its price beside the others that are on", () => {
  const set = { rules: ["beyond-limit", "nine-on-one-side"], basis: "chart" } as const;
  const limit = rulePrice(set, "beyond-limit", 1_000);
  const nine = rulePrice(set, "nine-on-one-side", 1_000);
  expect(limit).toMatchObject({ on: true, taken: true });
  expect(nine.withIt).toBe(limit.withIt);
  expect(nine.withoutIt).toBeCloseTo(1_000 / 370.398, 3);
  const trend = rulePrice(set, "six-in-one-direction", 1_000);
  expect(trend).toMatchObject({ on: false, taken: true });
  expect(trend.withoutIt).toBe(limit.withIt);
  expect(trend.withIt!).toBeGreaterThan(trend.withoutIt!);
  expect(trend.standardError!).toBeGreaterThan(0);
  expect(limit.standardError).toBeNull();
  // Both charts together cry wolf more often than one of them.
  expect(nine.pairWithoutIt!).toBeGreaterThan(nine.withoutIt!);
});

test("on the overall basis run rules are not taken and have no price", () => {
  const nine = rulePrice({ rules: ["beyond-limit", "nine-on-one-side"], basis: "overall" }, "nine-on-one-side", 1_000);
  expect(nine).toMatchObject({ on: true, taken: false, withIt: null });
});

test("limits from few points say how much luck is in them", () => {
  const few = chanceRate({ ...limitsOf(), rules: ["beyond-limit"], baseline: { ...limitsOf().baseline, n: 30 } }, 100);
  const many = chanceRate({ ...limitsOf(), rules: ["beyond-limit"] }, 100);
  const [narrow, wide] = [granted(many.range.lengths), granted(few.range.lengths)];
  expect(wide.tenth).toBeLessThan(narrow.tenth);
  expect(wide.ninetieth / wide.tenth).toBeGreaterThan(narrow.ninetieth / narrow.tenth);
});

test("where neighbours depend on each other the rules that are silenced have no price", () => {
  const diagnostics = { ...limitsOf().diagnostics, lag1: 0.6, lag1Band: [-0.2, 0.2] as const };
  const set = { ...limitsOf(), diagnostics };
  expect(rulePrice(set, "nine-on-one-side", 1_000)).toMatchObject({ on: true, taken: false, withIt: null });
  expect(chanceRate(set, 1_000).rules).toEqual(["beyond-limit"]);
});

test("a weighted mean has the run length of its own width, and no range that could be told", () => {
  const scheme = {
    runs: 1,
    sigma: 1,
    sigmaWithin: 1,
    ewma: { lambda: 0.2, width: 2.86, alike: true, share: 0, phi: 0 },
  };
  const set = { ...limitsOf(), charts: ["ewma", "moving-range"] as const, scheme };
  const rate = chanceRate({ ...set, charts: ["ewma", "moving-range"] }, 1_000);
  expect(rate.rules).toEqual(["beyond-limit"]);
  expect(rate.onceIn!).toBeGreaterThan(340);
  expect(rate.onceIn!).toBeLessThan(380);
  expect(rate.range.lengths).toMatchObject({ ok: false, refusal: { code: "range-unknown" } });
});

test("rules too many to reckon the range of leave that of the limits, and say so", () => {
  const rate = chanceRate({ ...limitsOf(), rules: four }, 100);
  expect(rate.range.rules).toEqual(["beyond-limit"]);
  const none = chanceRate({ ...limitsOf(), rules: ["six-in-one-direction"] }, 100);
  expect(none.range).toMatchObject({ rules: [], lengths: { ok: false, refusal: { code: "no-rules" } } });
});

test("the pace is that of the last four weeks, pauses included, or the settings' own while there is too little", () => {
  const hour = 3_600_000;
  const shifts = Array.from({ length: 8 * 28 }, (_, i) => Math.floor(i / 8) * 24 * hour + (i % 8) * hour);
  expect(weeklyRate(shifts, hour)).toBeCloseTo(56, -1);
  expect(weeklyRate([0, hour], hour)).toBe(WEEK_MS / hour);
  expect(weeklyRate([], hour)).toBe(WEEK_MS / hour);
});
