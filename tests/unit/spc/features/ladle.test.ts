import { expect, test } from "vitest";
import { featureCatalogue } from "../../../../spc/features/catalogue.ts";
import { type LadleStand, type LadleStands, ladleRule } from "../../../../spc/features/ladle-rule.ts";
import { ok, refuse } from "../../../../spc/model/outcome.ts";
import type { RunTrace } from "../../../../spc/model/run.ts";
import { checkRun, type Ladle, ladleRun } from "../../../property/spc/features/plant-models.ts";
import { altered, codeOf, numberOf } from "./traces.ts";

const feature = (id: string) => featureCatalogue[id]!({});
const gaveOf = (id: string, trace: RunTrace): number => numberOf(feature(id).extract(trace));
const ladles = (from: number, count: number, ladle: Ladle = {}): RunTrace[] =>
  Array.from({ length: count }, (_, i) => ladleRun(from + i, ladle).trace);

/** Individuals limits of moving ranges, as ISO 7870-2 has them: mean and 2.66 times the mean moving range. */
function limitsOf(values: readonly number[]): { readonly lower: number; readonly upper: number } {
  const mean = values.reduce((sum, value) => sum + value / values.length, 0);
  const ranges = values.slice(1).map((value, i) => Math.abs(value - values[i]!));
  const width = (2.66 * ranges.reduce((sum, range) => sum + range, 0)) / ranges.length;
  return { lower: mean - width, upper: mean + width };
}
const phase1 = ladles(1, 300);
const limits = new Map(
  [
    "ladle.first",
    "ladle.first_minus_line",
    "ladle.slope",
    ...[1, 2, 3, 4, 5, 6, 7, 8].map((k) => `ladle.residual.${k}`),
  ].map((id) => [id, limitsOf(phase1.map((trace) => gaveOf(id, trace)))]),
);
const stand = (id: string, trace: RunTrace): LadleStand => {
  const outcome = feature(id).extract(trace);
  if (!outcome.ok) return "unknown";
  const { lower, upper } = limits.get(id)!;
  return outcome.value < lower ? "low" : outcome.value > upper ? "high" : "within";
};
const stands = (trace: RunTrace): LadleStands => ({
  first: stand("ladle.first", trace),
  firstMinusLine: stand("ladle.first_minus_line", trace),
  slope: stand("ladle.slope", trace),
  residuals: [1, 2, 3, 4, 5, 6, 7, 8].map((k) => stand(`ladle.residual.${k}`, trace)),
});
const firsts = (trace: RunTrace): number[] => trace.inside!.map(({ features }) => features[0]!.value!);

test("the ladle's sawtooth cries no wolf: first metal by ladle signals by chance alone", () => {
  const fresh = ladles(1001, 400);
  const called = fresh.filter((trace) => stand("ladle.first", trace) !== "within").length;
  // 0.27 % of points by chance; with limits of 300 ladles at most a few of 400.
  expect(called).toBeLessThanOrEqual(5);
  // In pour order the sawtooth puts sigma where it does not belong: far from the spread that flasks have.
  const inOrder = limitsOf(fresh.flatMap(firsts));
  const own = limits.get("ladle.first")!;
  expect(inOrder.upper - inOrder.lower).toBeGreaterThan(1.7 * (own.upper - own.lower));
});

test("a tap that is 20 K cold is found, and the chart in pour order misses it", () => {
  const cold = ladles(2001, 300, { tap: 20 });
  const found = cold.map((trace) => stand("ladle.first", trace) === "low");
  const share = found.filter((one) => one).length / found.length;
  // 20 K are 3.3 of the tap's 6 K: more than half on the first ladle, and nearly all by the third.
  expect(share).toBeGreaterThan(0.5);
  const byThird = found.filter((_, i) => found.slice(i, i + 3).some((one) => one)).length / found.length;
  expect(byThird).toBeGreaterThan(0.9);
  const inOrder = limitsOf(phase1.flatMap(firsts));
  const missed = cold.filter((trace) => firsts(trace)[0]! >= inOrder.lower).length;
  expect(missed).toBeGreaterThan(0.9 * cold.length);
});

test("a cold tap and a cold ladle are told apart, and neither is told of a healthy one", () => {
  const like = (trace: RunTrace): string => ladleRule(stands(trace), firsts(trace).map(ok), null).like;
  const coldTap = ladles(3001, 100, { tap: 28 }).map(like);
  expect(coldTap.filter((one) => one === "cold-tap").length).toBeGreaterThan(85);
  expect(coldTap.filter((one) => one === "cold-ladle").length).toBeLessThan(4);
  const coldLadle = ladles(3201, 100, { coldLadle: 15 }).map(like);
  expect(coldLadle.filter((one) => one === "cold-ladle").length).toBeGreaterThan(95);
  const healthy = ladles(3401, 100).map(like);
  expect(healthy.filter((one) => one === "nothing" || one === "one-flask").length).toBeGreaterThan(94);
});

test("the rule names patterns, flasks off the line, and flasks below what their part asks for", () => {
  const calm: LadleStands = {
    first: "within",
    firstMinusLine: "within",
    slope: "within",
    residuals: ["within", "low"],
  };
  expect(ladleRule(calm, [ok(1440), ok(1380), refuse("no-pours", "none")], 1400)).toEqual({
    like: "one-flask",
    flasks: [2],
    outside: [2],
  });
  const like = (of: Partial<LadleStands>): string => ladleRule({ ...calm, residuals: [], ...of }, [], null).like;
  expect(like({})).toBe("nothing");
  expect(like({ first: "low" })).toBe("cold-tap");
  expect(like({ first: "high" })).toBe("hot-tap");
  expect(like({ first: "low", firstMinusLine: "low" })).toBe("cold-ladle");
  expect(like({ first: "low", firstMinusLine: "unknown" })).toBe("undecided");
  expect(like({ first: "unknown" })).toBe("undecided");
  expect(like({ slope: "low" })).toBe("fast-loss");
  expect(like({ slope: "high" })).toBe("slow-loss");
});

test("slope, first metal and residuals of a ladle", () => {
  for (const seed of [1, 2, 3, 4, 5]) {
    const { trace, truth } = ladleRun(seed);
    for (const id of ["ladle.first", "ladle.slope", "ladle.residual.4", "ladle.loss", "ladle.first_minus_line"]) {
      expect(Math.abs(gaveOf(id, trace) - truth[id]!)).toBeLessThan(feature(id).plusMinus!);
    }
  }
});

test("a flask that was not measured is a hole at its own position, and moves no other", () => {
  const { trace } = ladleRun(1);
  const without = { ...trace, inside: trace.inside!.filter(({ run }) => run.context["position"] !== "3") };
  expect(codeOf(feature("ladle.residual.3").extract(without))).toBe("no-pours");
  expect(gaveOf("ladle.residual.4", without)).toBeCloseTo(gaveOf("ladle.residual.4", trace), 0);
  const refused = {
    ...trace,
    inside: trace.inside!.map((one) => ({
      ...one,
      features: one.features.map((value) => ({ ...value, value: null })),
    })),
  };
  expect(codeOf(feature("ladle.first").extract(refused))).toBe("no-pours");
  expect(codeOf(feature("ladle.slope").extract({ ...trace, inside: trace.inside!.slice(0, 3) }))).toBe("too-few");
  expect(codeOf(feature("ladle.loss").extract({ ...trace, inside: trace.inside!.slice(0, 3) }))).toBe("too-few");
  const untold = { ...trace, inside: trace.inside!.map((one) => ({ ...one, run: { ...one.run, context: {} } })) };
  expect(codeOf(feature("ladle.first").extract(untold))).toBe("no-pours");
  expect(codeOf(feature("ladle.first").extract({ ...trace, inside: [] }))).toBe("no-pours");
});

test("a dip counts on its plateau only", () => {
  for (let seed = 1; seed <= 40; seed += 1) {
    const { trace, truth } = ladleRun(seed);
    expect(Math.abs(gaveOf("ladle.dip", trace) - truth["ladle.dip"]!)).toBeLessThan(4);
    // A tip that was lifted after three seconds is 70 K short with a time constant of a second, and has a maximum too.
    expect(codeOf(feature("ladle.dip").extract(ladleRun(seed, { dwellS: 3 }).trace))).toBe("no-plateau");
  }
  const none = altered(ladleRun(1).trace, "dip", () => null);
  expect(codeOf(feature("ladle.dip").extract(none))).toBe("no-reading");
});

test("a dip that froze on the way up, or ran into the end of its range, is no plateau", () => {
  const { trace } = ladleRun(1);
  const frozen = altered(trace, "dip", (one, tS) => (tS > 22 && tS < 27 ? { ...one, value: 1290 } : one));
  expect(gaveOf("ladle.dip", frozen)).toBeGreaterThan(1400);
  const clipped = altered(trace, "dip", (one) => ({ ...one, value: Math.min(one.value!, 1300) }));
  expect(codeOf(feature("ladle.dip").extract(clipped))).toBe("no-plateau");
  const still = altered(trace, "dip", (one) => ({ ...one, value: 1290 }));
  expect(codeOf(feature("ladle.dip").extract(still))).toBe("no-plateau");
});

test("a tip without noise that settles at the instrument's step is a plateau", () => {
  for (const step of [0.1, 1]) {
    const smooth = altered(ladleRun(1).trace, "dip", (one, tS) => {
      const exact = 25 + 1400 * (1 - Math.exp(-(tS - 20) / 0.9));
      return tS < 29 ? { ...one, value: step * Math.round(exact / step) } : { ...one, value: 900 - 50 * (tS - 29) };
    });
    expect(Math.abs(gaveOf("ladle.dip", smooth) - 1425)).toBeLessThan(2);
  }
});

test("soot on the pyrometer shows against the dip, whatever the tap", () => {
  const mean = (ladle: Ladle): number =>
    ladles(1, 60, ladle).reduce((sum, trace) => sum + gaveOf("pour.pyro_minus_dip", trace) / 60, 0);
  const clean = mean({});
  expect(Math.abs(clean)).toBeLessThan(1.5);
  expect(mean({ soot: 13 }) - clean).toBeCloseTo(-13, 0);
  expect(Math.abs(mean({ tap: 20 }) - clean)).toBeLessThan(1);
  const far = ladleRun(1).trace;
  const late = {
    ...far,
    inside: far.inside!.map((one) => ({ ...one, run: { ...one.run, startMs: one.run.startMs + 600_000 } })),
  };
  expect(codeOf(feature("pour.pyro_minus_dip").extract(late))).toBe("too-far-apart");
});

test("furnace thermocouple against a tip in the same bath", () => {
  for (let seed = 1; seed <= 20; seed += 1) {
    const { trace, truth } = checkRun(seed);
    expect(Math.abs(gaveOf("furnace.minus_dip", trace) - truth["furnace.minus_dip"]!)).toBeLessThan(3);
  }
});
