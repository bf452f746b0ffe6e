import { expect, test } from "vitest";
import { proposeLimits } from "../../../../spc/charts/propose-limits.ts";
import { normals } from "../../../property/spc/seeded.ts";
import { baselineOf, granted } from "../press-fixtures.ts";

const request = { pair: "individuals", everyMs: 1000, unit: "bar", rules: ["beyond-limit"], basis: "chart" } as const;
const propose = (values: readonly (number | null)[]) =>
  granted(proposeLimits({ ...request, subgroups: baselineOf(values) }));
const cautions = (values: readonly number[]) => propose(values).diagnostics.cautions;
function noise(n: number, seed = 1): number[] {
  const next = normals(seed);
  return Array.from({ length: n }, next);
}

test("a long, independent, well resolved baseline has nothing against it", () => {
  const { diagnostics, baseline } = propose(noise(300));
  expect(diagnostics.cautions).toEqual([]);
  expect(diagnostics.distinctValues).toBe(300);
  expect(Math.abs(diagnostics.lag1)).toBeLessThan(diagnostics.lag1Band[1]);
  expect(diagnostics.lag1Band[1]).toBeCloseTo(1.96 / Math.sqrt(300), 3);
  expect(baseline).toEqual({ fromMs: 0, toMs: 299_000, n: 300, imported: 0, excluded: {} });
});

test("each caution names what it is about", () => {
  expect(cautions(noise(60))).toEqual(["few-values"]);
  expect(cautions(noise(200).map((value) => Math.exp(1.5 * value)))).toContain("skewed");
  expect(cautions(noise(200).map((value) => 3 * Math.round(value / 2)))).toContain("few-distinct-values");
  expect(cautions(noise(200).map((value, i) => value + (i > 120 ? 4 : 0)))).toEqual(
    expect.arrayContaining(["autocorrelated", "step-in-baseline", "overall-to-within"]),
  );
  expect(cautions(noise(200).map((value, i) => (i % 40 === 20 ? 9 : value)))).toContain("signals-in-baseline");
});

test("basis overall is recommended for dependence without a step, and not where a step makes it look dependent", () => {
  let level = 0;
  const dependent = noise(300).map((value) => {
    level = 0.5 * level + value;
    return level;
  });
  expect(cautions(dependent)).toContain("overall-basis-recommended");
  const stepped = noise(300).map((value, i) => value + (i > 150 ? 3 : 0));
  expect(cautions(stepped)).toContain("step-in-baseline");
  expect(cautions(stepped)).not.toContain("overall-basis-recommended");
});

test("a run left out with its cause leaves a hole: it counts neither itself nor in the ranges beside it", () => {
  const values = noise(60).with(30, 400);
  const excluded = { "run-30": "trap stood full of water" };
  const proposal = granted(proposeLimits({ ...request, subgroups: baselineOf(values), excluded }));
  const holed = propose(values.map((value, i) => (i === 30 ? null : value)));
  expect(proposal.location).toEqual(holed.location);
  expect(proposal.spread).toEqual(holed.spread);
  expect(proposal.baseline.n).toBe(59);
  expect(proposal.baseline.excluded).toEqual(excluded);
});

test("more than a third left out is refused: the process was not stable", () => {
  const excluded = Object.fromEntries(Array.from({ length: 31 }, (_, i) => [`run-${i}`, "valve"]));
  expect(proposeLimits({ ...request, subgroups: baselineOf(noise(90)), excluded })).toMatchObject({
    refusal: { code: "too-many-excluded" },
  });
});

test("imported runs among those used are counted", () => {
  const imported = new Set(["run-3", "run-4", "elsewhere"]);
  const excluded = { "run-4": "wrong tool" };
  const proposal = granted(proposeLimits({ ...request, subgroups: baselineOf(noise(60)), imported, excluded }));
  expect(proposal.baseline.imported).toBe(1);
});
