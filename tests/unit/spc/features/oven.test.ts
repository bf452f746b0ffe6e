import { expect, test } from "vitest";
import { featureCatalogue } from "../../../../spc/features/catalogue.ts";
import { ovenMax } from "../../../../spc/features/oven-max.ts";
import { ovenMean } from "../../../../spc/features/oven-mean.ts";
import { ovenSoak } from "../../../../spc/features/oven-soak.ts";
import { ovenSpread } from "../../../../spc/features/oven-spread.ts";
import { altered, codeOf, numberOf, ovenTrace, runOf, startMs, traceOf } from "./traces.ts";

const [average, max, spread] = [ovenMean({}), ovenMax({}), ovenSpread({})];
const all = [average, max, spread];

test("the soak begins when the last position has come within 2 K of set, and ends when the load goes out", () => {
  // At 2 K/min from 25 Cel, 53 Cel is reached after 14 min: minute 14 is the first whose median is no lower.
  const soak = ovenSoak(ovenTrace(), { set: 55, tolerance: 2 });
  expect(soak).toMatchObject({
    ok: true,
    value: { window: { fromMs: startMs + 14 * 60_000, toMs: startMs + 7_200_000 } },
  });
});

test("a slow position holds the beginning of the soak back", () => {
  const slow = altered(ovenTrace(), "t2", (one, tS) => (tS < 1800 ? { ...one, value: 40 + tS / 1e4 } : one));
  const soak = ovenSoak(slow, { set: 55, tolerance: 2 });
  expect(soak.ok && soak.value.window.fromMs).toBe(startMs + 30 * 60_000);
});

test("a spike does not begin a soak", () => {
  const spiked = altered(ovenTrace(), "t1", (one, tS) => (tS < 20 ? { ...one, value: 90 } : one));
  expect(ovenSoak(spiked, { set: 55, tolerance: 2 })).toMatchObject({
    value: { window: { fromMs: startMs + 14 * 60_000 } },
  });
});

test("the mean is that of the positions, each weighing the same", () => {
  expect(Math.abs(numberOf(average.extract(ovenTrace([-0.9, 0, 1.2]))) - 55.1)).toBeLessThan(0.05);
  const fewer = altered(ovenTrace([-0.9, 0, 1.2]), "t3", (one, tS) => (tS % 20 === 0 ? null : one));
  expect(Math.abs(numberOf(average.extract(fewer)) - 55.1)).toBeLessThan(0.05);
});

test("the maximum is the hottest minute of the hottest position, and no spike", () => {
  // Offset 0.8 K; the swing of 0.5 K and 260 s has its hottest minute's median near its top.
  expect(Math.abs(numberOf(max.extract(ovenTrace())) - 56.26)).toBeLessThan(0.06);
  const spiked = altered(ovenTrace(), "t1", (one, tS) => (tS > 4000 && tS < 4025 ? { ...one, value: 95 } : one));
  expect(numberOf(max.extract(spiked))).toBe(numberOf(max.extract(ovenTrace())));
});

test("a control that ran away for minutes shows in the maximum", () => {
  const hot = altered(ovenTrace(), "t1", (one, tS) =>
    tS > 4000 && tS < 4300 ? { ...one, value: one.value! + (tS - 4000) / 30 } : one,
  );
  expect(numberOf(max.extract(hot))).toBeGreaterThan(62);
});

test("the spread is the largest range of ten-minute means", () => {
  expect(Math.abs(numberOf(spread.extract(ovenTrace([-0.5, 0, 0.8]))) - 1.3)).toBeLessThan(0.1);
  const fan = altered(ovenTrace([-0.5, 0, 0.8]), "t3", (one, tS) =>
    tS > 3600 && tS < 5400 ? { ...one, value: one.value! + 4 } : one,
  );
  expect(Math.abs(numberOf(spread.extract(fan)) - 5.3)).toBeLessThan(0.1);
});

test("set temperature and tolerance are settings", () => {
  expect(codeOf(ovenMean({ set: 60 }).extract(ovenTrace()))).toBe("soak-not-reached");
  expect(ovenMean({ set: 60, tolerance: 6 }).extract(ovenTrace()).ok).toBe(true);
});

test.each(all)("$id is refused when one position misses more than a tenth of the soak", (feature) => {
  const holed = altered(ovenTrace(), "t2", (one, tS) => (tS > 3000 && tS < 3800 ? null : one));
  expect(codeOf(feature.extract(holed))).toBe("coverage-too-low");
  const open = altered(ovenTrace(), "t2", (one, tS) =>
    tS > 3000 && tS < 3800 ? { ...one, value: null, quality: "bad" } : one,
  );
  expect(codeOf(feature.extract(open))).toBe("coverage-too-low");
});

test.each(all)("$id is refused when a thermocouple stands still, is absent or never warms", (feature) => {
  expect(codeOf(feature.extract(altered(ovenTrace(), "t3", (one) => ({ ...one, value: 55 }))))).toBe("signal-stuck");
  expect(codeOf(feature.extract(altered(ovenTrace(), "t3", (one, tS) => ({ ...one, value: 22 + tS / 1e5 }))))).toBe(
    "soak-not-reached",
  );
  const { t3: _, ...others } = ovenTrace().samples;
  expect(codeOf(feature.extract({ ...ovenTrace(), samples: others }))).toBe("role-missing");
});

test.each(all)("$id is refused when the load out was not seen, or the soak was too short to judge", (feature) => {
  for (const closedBy of ["timeout", "gap"] as const) {
    expect(codeOf(feature.extract({ ...ovenTrace(), run: runOf(7200, [], closedBy) }))).toBe("run-cut-short");
  }
  expect(codeOf(feature.extract({ ...ovenTrace(), run: runOf(23 * 60) }))).toBe("segment-too-short");
});

test("the largest range is not known while most of ten minutes is missing at a position", () => {
  const holed = (toS: number) => altered(ovenTrace(), "t1", (one, tS) => (tS >= 3300 && tS < toS ? null : one));
  expect(codeOf(spread.extract(holed(3720)))).toBe("coverage-too-low");
  expect(spread.extract(holed(3480)).ok).toBe(true);
});

test("a trace without roles is refused, whatever the feature", () => {
  for (const feature of all) expect(codeOf(feature.extract(traceOf(runOf(7200), {})))).toBe("role-missing");
});

const made = (id: string, settings = {}) => featureCatalogue[id]!(settings);

test("a thermocouple that drifts leaves the others, and is named by its position", () => {
  const even = ovenTrace([0.2, 0.2, 0.2]);
  const drifted = altered(even, "t2", (one) => ({ ...one, value: one.value! + 0.6 }));
  const residual = (n: number, trace = drifted): number => numberOf(made(`oven.residual.${n}`).extract(trace));
  expect(residual(2) - residual(2, even)).toBeCloseTo(0.6, 1);
  expect(residual(1) - residual(1, even)).toBeCloseTo(-0.3, 1);
  expect(residual(3) - residual(3, even)).toBeCloseTo(-0.3, 1);
});

test("soak time counts the minutes near the set temperature only", () => {
  // Up from 25 Cel at 2 K/min: near the set temperature after 14 min, out after two hours.
  expect(numberOf(made("oven.soak_time").extract(ovenTrace()))).toBeCloseTo((120 - 14) / 60, 1);
  const hot = ["t1", "t2", "t3"].reduce(
    (trace, role) => altered(trace, role, (one, tS) => (tS > 3600 ? { ...one, value: one.value! + 4 } : one)),
    ovenTrace(),
  );
  expect(numberOf(made("oven.soak_time").extract(hot))).toBeCloseTo((60 - 14) / 60, 1);
});

test("degree-hours above 60 Cel are those of the hottest position", () => {
  expect(numberOf(made("oven.degree_hours").extract(ovenTrace()))).toBe(0);
  const hot = altered(ovenTrace([0, 0, 0]), "t3", (one, tS) => (tS > 3600 ? { ...one, value: one.value! + 8 } : one));
  // 55 + 8 - 60 for one hour; the swing of 0.5 K cancels.
  expect(numberOf(made("oven.degree_hours").extract(hot))).toBeCloseTo(3, 1);
});

test("the ramp is the oven's own two kelvin a minute, and a warm oven has none", () => {
  expect(numberOf(made("oven.ramp").extract(ovenTrace()))).toBeCloseTo(2, 1);
  const warm = ["t1", "t2", "t3"].reduce(
    (trace, role) => altered(trace, role, (one) => ({ ...one, value: Math.max(54, one.value!) + (one.tMs % 7) / 100 })),
    ovenTrace(),
  );
  expect(codeOf(made("oven.ramp").extract(warm))).toBe("too-few");
});

test("a soak that began while a position was not measured has no beginning", () => {
  const holed = altered(ovenTrace(), "t1", (one, tS) => (tS > 780 && tS < 900 ? null : one));
  expect(codeOf(made("oven.soak_time").extract(holed))).toBe("hole-at-crossing");
});
