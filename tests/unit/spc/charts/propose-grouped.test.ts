import { expect, test } from "vitest";
import { proposeLimits } from "../../../../spc/charts/propose-limits.ts";
import { normals } from "../../../property/spc/seeded.ts";
import { runOf } from "../press-fixtures.ts";
import { averages, charted, ewmaOfRuns, limitsFrom, runsOf } from "../subgroup-fixtures.ts";

const next = normals(5);
const calm = Array.from({ length: 120 }, () => 0.92 + 0.004 * next());
const request = { pair: "averages-with-s", subgroup: { runs: 4 }, everyMs: 150_000, unit: "bar" } as const;
const asked = { ...request, rules: ["beyond-limit"], basis: "chart" } as const;

test("limits of subgroups say how many subgroups they rest on, and need twenty-five", () => {
  const set = limitsFrom(charted(averages), calm);
  expect(set.baseline.n).toBe(30);
  expect(set).toMatchObject({
    charts: ["average", "standard-deviation"],
    estimator: "mean-s",
    k: 3,
    scheme: { runs: 4 },
  });
  expect(proposeLimits({ ...asked, subgroups: runsOf(calm.slice(0, 96)) })).toMatchObject({
    ok: false,
    refusal: { code: "too-few", needs: 25, has: 24 },
  });
});

test("unequal sizes are pooled, and a run left out with its cause leaves its place in the subgroup empty", () => {
  const holed = calm.map((value, i) => (i % 9 === 0 ? null : value));
  expect(limitsFrom(charted(averages), holed).estimator).toBe("pooled-s");
  const without = limitsFrom(charted(averages), calm, { excluded: { [runOf(5)]: "setting changed" } });
  expect(without).toMatchObject({ estimator: "pooled-s", baseline: { n: 30 } });
});

test("the basis overall widens averages and leaves the spread; an EWMA freezes what it knows of dependence", () => {
  let level = 0;
  const leaning = Array.from({ length: 160 }, () => {
    level = 0.8 * level + next();
    return 0.92 + 0.004 * level;
  });
  const own = limitsFrom(charted(averages), leaning);
  const overall = limitsFrom(charted(averages), leaning, { basis: "overall" });
  expect(overall.scheme!.sigma).toBeGreaterThan(own.scheme!.sigma);
  expect(overall.spread).toEqual(own.spread);
  expect(overall.estimator).toBe("overall");
  expect(own.diagnostics.cautions).toContain("between-subgroups");
  const ewma = limitsFrom(charted(ewmaOfRuns), leaning, { basis: "overall" });
  expect(ewma.scheme!.ewma!.share).toBeGreaterThan(0.5);
  expect(ewma.scheme!.ewma!.phi).toBeGreaterThan(0.5);
  expect(own.diagnostics.sigmaWithin).toBe(own.scheme!.sigmaWithin);
});

test("a step in the baseline, and an instrument that rounds coarsely, are told of subgroups as well", () => {
  const stepped = calm.map((value, i) => (i < 60 ? value : value + 0.02));
  expect(limitsFrom(charted(averages), stepped).diagnostics.cautions).toContain("step-in-baseline");
  const coarse = calm.map((value) => Math.round(value * 200) / 200);
  expect(limitsFrom(charted(averages), coarse).diagnostics.cautions).toContain("few-distinct-values");
});

test("averages of single runs cannot be meant", () => {
  const { subgroup: _, ...singles } = asked;
  expect(() => proposeLimits({ ...singles, subgroups: runsOf(calm) })).toThrow(RangeError);
});
