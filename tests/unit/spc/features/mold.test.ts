import { expect, test } from "vitest";
import { timeAbove } from "../../../../spc/features/crossing.ts";
import { moldPlateau } from "../../../../spc/features/mold-plateau.ts";
import { moldRise } from "../../../../spc/features/mold-rise.ts";
import { moldTAbove } from "../../../../spc/features/mold-t-above.ts";
import type { Sample } from "../../../../spc/model/sample.ts";
import { altered, codeOf, numberOf, shotTrace, startMs, traceOf } from "./traces.ts";

const [plateau, rise, tAbove] = [moldPlateau({}), moldRise({}), moldTAbove({})];
const all = [plateau, rise, tAbove];
const without = (fromS: number, toS: number) => (one: Sample, tS: number) => (tS >= fromS && tS < toS ? null : one);

// The shot is exponential by steps, so what is right follows from its formula: autoclave from 22 s to 29 s,
// p(t) = 0.9 - (0.9 - p0) exp(-t / tau), p0 = 0.45 - 0.1 exp(-4 / 0.6) apart from still smaller leftovers.
const p0 = 0.45 - 0.1 * Math.exp(-4 / 0.6);

test("the plateau is the median of the top of the autoclave step", () => {
  // Above 90 % of the top from 1.1 s to 7 s: the median is the level half-way, at about 4.05 s.
  const middle = 0.9 - (0.9 - p0) * Math.exp(-4.05 / 0.7);
  expect(numberOf(plateau.extract(shotTrace({ noise: 0 })))).toBeCloseTo(middle, 3);
  expect(Math.abs(numberOf(plateau.extract(shotTrace())) - middle)).toBeLessThan(0.003);
});

test("one spike leads the maximum astray and not the plateau", () => {
  const clean = numberOf(plateau.extract(shotTrace()));
  const spiked = altered(shotTrace(), "pressure", (one, tS) => (tS === 25 ? { ...one, value: 5 } : one));
  expect(Math.abs(numberOf(plateau.extract(spiked)) - clean)).toBeLessThan(0.001);
});

test("a low boiler lowers the plateau by as much as it lowers the set pressure", () => {
  const drop = numberOf(plateau.extract(shotTrace())) - numberOf(plateau.extract(shotTrace({ autoclave: 0.85 })));
  expect(Math.abs(drop - 0.05)).toBeLessThan(0.003);
});

test("the rise is measured from 10 to 90 percent of the step", () => {
  const level = numberOf(plateau.extract(shotTrace({ noise: 0 })));
  const reach = (share: number): number => -0.7 * Math.log((0.9 - (p0 + share * (level - p0))) / (0.9 - p0));
  expect(numberOf(rise.extract(shotTrace({ noise: 0 })))).toBeCloseTo(reach(0.9) - reach(0.1), 2);
});

test("a slow valve lengthens the rise, and noise hardly biases it", () => {
  const mean = (tauS: number): number => {
    const rises = Array.from({ length: 40 }, (_, seed) => numberOf(rise.extract(shotTrace({ seed, tauS }))));
    return rises.reduce((total, one) => total + one, 0) / rises.length;
  };
  const quiet = (tauS: number): number => numberOf(rise.extract(shotTrace({ noise: 0, tauS })));
  expect(Math.abs(mean(0.7) / quiet(0.7) - 1)).toBeLessThan(0.07);
  expect(Math.abs(mean(1.8) / quiet(1.8) - 1)).toBeLessThan(0.07);
  // Our own simulation, no source: 1.4 s healthy, 3 s with a slow valve.
  expect(mean(1.8) - mean(0.7)).toBeGreaterThan(1.3);
});

test("time above follows from the formula, the beginning of the vent included", () => {
  const end = 0.9 - (0.9 - p0) * Math.exp(-7 / 0.7);
  const aboveS = 7 - 0.7 * Math.log((0.9 - p0) / 0.1) + 0.9 * Math.log(end / 0.8);
  expect(Math.abs(numberOf(tAbove.extract(shotTrace({ noise: 0 }))) - aboveS)).toBeLessThan(0.05);
});

test("a shot that never came above the threshold has 0 s, and that is a measurement", () => {
  expect(numberOf(tAbove.extract(shotTrace({ autoclave: 0.75 })))).toBe(0);
});

test("the threshold is a setting", () => {
  expect(numberOf(moldTAbove({ threshold: 0.7 }).extract(shotTrace()))).toBeGreaterThan(
    numberOf(tAbove.extract(shotTrace())) + 0.3,
  );
});

test.each(all)("$id is refused when more than a tenth of autoclave is missing, bad or without a number", (feature) => {
  const hole = altered(shotTrace(), "pressure", without(25, 25.8));
  const bad = altered(shotTrace(), "pressure", (one, tS) => (tS > 25 && tS < 26 ? { ...one, quality: "bad" } : one));
  const none = altered(shotTrace(), "pressure", (one, tS) => (tS > 25 && tS < 26 ? { ...one, value: null } : one));
  for (const trace of [hole, bad, none]) expect(codeOf(feature.extract(trace))).toBe("coverage-too-low");
});

test.each(all)("$id keeps its number when a shorter hole lies on the plateau", (feature) => {
  const holed = altered(shotTrace(), "pressure", without(26, 26.5));
  expect(Math.abs(numberOf(feature.extract(holed)) / numberOf(feature.extract(shotTrace())) - 1)).toBeLessThan(0.01);
});

test.each([
  { feature: rise, fromS: 23.3 },
  { feature: tAbove, fromS: 22.8 },
])("$feature.id is refused when the pressure crossed its level in a hole", ({ feature, fromS }) => {
  const holed = altered(shotTrace(), "pressure", without(fromS, fromS + 0.6));
  expect(codeOf(feature.extract(holed))).toBe("hole-at-crossing");
});

test.each(all)("$id is refused without its segments, its role or its end", (feature) => {
  const trace = shotTrace();
  const { run } = trace;
  const kept = run.segments.filter(({ name }) => name !== "autoclave");
  expect(codeOf(feature.extract({ ...trace, run: { ...run, segments: kept } }))).toBe("segment-missing");
  expect(codeOf(feature.extract(traceOf(run, {})))).toBe("role-missing");
  const toMs = startMs + 26_000;
  const cut = run.segments
    .filter(({ fromMs }) => fromMs < toMs)
    .map((one) => ({ ...one, toMs: Math.min(one.toMs, toMs) }));
  const short = { ...run, endMs: toMs, closedBy: "gap" as const, segments: cut };
  expect(codeOf(feature.extract({ ...trace, run: short }))).toBe("run-cut-short");
});

test.each(all)("$id is taken all the same when a timeout closed the run long after its segment", (feature) => {
  const trace = shotTrace();
  const late = { ...trace, run: { ...trace.run, closedBy: "timeout" as const } };
  expect(numberOf(feature.extract(late))).toBe(numberOf(feature.extract(trace)));
});

test.each(all)("$id is refused when the transmitter stood still through the shot", (feature) => {
  const stuck = altered(shotTrace(), "pressure", (one) => ({ ...one, value: 0.9 }));
  expect(codeOf(feature.extract(stuck))).toBe("signal-stuck");
});

test("no steam, or a pressure that only ramps, has no plateau", () => {
  const none = altered(shotTrace(), "pressure", (one, tS) => ({ ...one, value: -0.01 - tS / 1e4 }));
  expect(codeOf(plateau.extract(none))).toBe("no-plateau");
  const ramp = altered(shotTrace(), "pressure", (one, tS) => ({ ...one, value: (tS - 22) / 7 }));
  expect(codeOf(plateau.extract(ramp))).toBe("no-plateau");
  expect(codeOf(rise.extract(ramp))).toBe("no-plateau");
});

test("a plateau hardly above cross-steam has no rise", () => {
  expect(codeOf(rise.extract(shotTrace({ autoclave: 0.5 })))).toBe("no-step");
});

test("a pressure at its plateau when autoclave begins has no rise", () => {
  const early = altered(shotTrace(), "pressure", (one, tS) =>
    tS >= 22 && tS < 29 ? { ...one, value: 0.9 + 0.001 * Math.sin(99 * tS) } : one,
  );
  expect(codeOf(rise.extract(early))).toBe("no-step");
});

test("a phase without readings has no time above, and one that ends in a hole does not say", () => {
  const phase = { fromMs: 0, toMs: 1000 };
  expect(timeAbove([], 1, phase, 100)).toEqual({ ok: true, value: 0 });
  const above = [0, 100, 200].map((tMs) => ({ tMs, value: 2 }));
  expect(timeAbove(above, 1, phase, 100)).toEqual({ ok: true, value: 1000 });
});

test.each(all)("$id names a setting that it does not know or cannot use", (feature) => {
  const make = { "mold.plateau": moldPlateau, "mold.rise": moldRise, "mold.t_above": moldTAbove }[feature.id]!;
  expect(() => make({ limit: 1 })).toThrow(`${feature.id} has no setting limit`);
});

test.each([0, -0.8, Number.NaN, Number.POSITIVE_INFINITY])("a threshold of %d bar is refused", (threshold) => {
  expect(() => moldTAbove({ threshold })).toThrow("mold.t_above needs a number above 0 for threshold");
});
