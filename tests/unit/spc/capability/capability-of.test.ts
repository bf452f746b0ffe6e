import { expect, test } from "vitest";
import { capabilityOf } from "../../../../spc/capability/capability-of.ts";
import type { CapabilityRequest } from "../../../../spc/capability/capability-request.ts";
import { nearestInterval, spreadInterval } from "../../../../spc/capability/interval.ts";

const usual: CapabilityRequest = {
  n: 120,
  mean: 750,
  sigmaWithin: 3,
  dfWithin: 72,
  sigmaOverall: 3.2,
  lower: 738,
  upper: 762,
  target: 750,
  confidence: 0.95,
  stable: true,
  autocorrelated: false,
  distinct: 90,
};
const ask = (change: Partial<CapabilityRequest>) => capabilityOf({ ...usual, ...change });
const names = ["cp", "cpk", "pp", "ppk", "cpm"] as const;
const refusals = (found: ReturnType<typeof capabilityOf>): (string | null)[] =>
  names.map((name) => {
    const index = found[name];
    return "refused" in index ? index.refused : null;
  });
const codes = (found: ReturnType<typeof capabilityOf>): string[] => found.cautions.map(({ code }) => code);

test("a stable process in a two-sided specification has all five, each with its interval", () => {
  const found = ask({});
  expect(refusals(found)).toEqual([null, null, null, null, null]);
  expect(found.cp).toEqual(spreadInterval(24 / 18, 72, 0.95));
  expect(found.cpk).toEqual(nearestInterval(4 / 3, 120, 72, 0.95));
  expect(found.pp).toEqual(spreadInterval(24 / (6 * 3.2), 119, 0.95));
  expect(found.ppk).toEqual(nearestInterval(12 / (3 * 3.2), 120, 119, 0.95));
  expect(found.cpm).toMatchObject({ estimate: 24 / (6 * 3.2), confidence: 0.95 });
  expect(found.cautions).toEqual([]);
});

test("fewer than 25 values are refused, 25 to 99 are provisional", () => {
  expect(refusals(ask({ n: 24 }))).toEqual(names.map(() => "too-few"));
  expect(refusals(ask({ n: 0 }))).toEqual(names.map(() => "too-few"));
  expect(codes(ask({ n: 24 }))).toEqual([]);
  expect(codes(ask({ n: 25 }))).toEqual(["few-values"]);
  expect(codes(ask({ n: 99 }))).toEqual(["few-values"]);
  expect(codes(ask({ n: 100 }))).toEqual([]);
});

test("what is not stable has no Cp and no Cpk; Pp and Ppk are given, and the words say why", () => {
  const why = "7 points lie beyond the limits";
  const found = ask({ stable: why });
  expect(refusals(found)).toEqual(["not-stable", "not-stable", null, null, null]);
  expect(found.cp).toMatchObject({ why: `${why}: capability presupposes a stable process` });
  expect(codes(found)).toEqual(["not-stable"]);
  expect(found.cautions[0]!.text).toContain(why);
  expect(refusals(ask({ stable: false }))).toEqual(["not-stable", "not-stable", null, null, null]);
});

test("one side alone has Cpk and Ppk; Cpm needs a declared target", () => {
  const sided = "one-sided-specification";
  expect(refusals(ask({ upper: undefined }))).toEqual([sided, null, sided, null, sided]);
  expect(refusals(ask({ lower: undefined, target: undefined }))).toEqual([sided, null, sided, null, sided]);
  expect(refusals(ask({ target: undefined }))).toEqual([null, null, null, null, "no-target"]);
  expect(refusals(ask({ lower: undefined, upper: undefined }))).toEqual(names.map(() => "no-specification"));
});

test("a mean outside the specification has indices below zero", () => {
  const found = ask({ mean: 770 });
  expect(found.cpk).toMatchObject({ estimate: -8 / 9 });
  expect(found.ppk).toMatchObject({ estimate: -8 / (3 * 3.2) });
});

test("without variation there is no index, not an infinite one", () => {
  expect(refusals(ask({ sigmaOverall: 0 }))).toEqual(names.map(() => "zero-variation"));
  expect(refusals(ask({ sigmaOverall: 1e-17, distinct: 1 }))).toEqual(names.map(() => "zero-variation"));
  expect(refusals(ask({ sigmaWithin: 0 }))).toEqual(["zero-variation", "zero-variation", null, null, null]);
  expect(refusals(ask({ sigmaWithin: null }))).toEqual(["no-within-sigma", "no-within-sigma", null, null, null]);
});

test("dependence, coarseness and a moving process are said", () => {
  expect(codes(ask({ autocorrelated: true }))).toEqual(["interval-assumes-independence"]);
  expect(codes(ask({ sigmaOverall: 4 }))).toEqual(["overall-to-within"]);
  const coarse = ask({ distinct: 4 });
  expect(refusals(coarse)).toEqual(["few-distinct-values", "few-distinct-values", null, null, null]);
  expect(codes(coarse)).toEqual(["few-distinct-values"]);
});

test("a sigma that brings no degrees of freedom takes n - 1", () => {
  expect(ask({ dfWithin: null }).cp).toEqual(spreadInterval(24 / 18, 119, 0.95));
});

test("an index that leaves the range of numbers is refused, not written", () => {
  const wide = ask({ lower: -1e308, upper: 1e308, sigmaWithin: 1e-9, sigmaOverall: 1e-9 });
  expect(refusals(wide)).toEqual(names.map(() => "not-a-number"));
  expect(refusals(ask({ target: 1e308, sigmaOverall: 1e-300 }))[4]).toBe("not-a-number");
});

test.each([
  { lower: 762, upper: 738 },
  { lower: 750, upper: 750 },
  { mean: Number.NaN },
  { sigmaOverall: Number.NaN },
  { sigmaOverall: -1 },
  { sigmaWithin: Infinity },
  { dfWithin: 0 },
  { upper: Infinity },
  { target: Number.NaN },
  { confidence: 1 },
  { confidence: Number.NaN },
  { n: 30.5 },
  { n: -1 },
  { distinct: Number.NaN },
])("%o is a defect in the caller", (change) => {
  expect(() => ask(change)).toThrow(RangeError);
});
