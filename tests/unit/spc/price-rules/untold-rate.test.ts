import { expect, test } from "vitest";
import { proposeLimits } from "../../../../spc/charts/propose-limits.ts";
import { atOnce } from "../../../../spc/model/at-once.ts";
import { untoldRate } from "../../../../spc/price/untold-rate.ts";
import { chanceRateSteps } from "../../../../spc/proposal/chance-rate.ts";
import { normals } from "../../../property/spc/seeded.ts";
import { baselineOf, granted } from "../press-fixtures.ts";

const proposed = (values: readonly number[], basis: "chart" | "overall" = "chart") =>
  granted(
    proposeLimits({
      ...{ pair: "individuals", everyMs: 1000, unit: "bar", rules: ["beyond-limit"], basis },
      subgroups: baselineOf(values),
    }),
  );
function noise(n: number, seed = 1): number[] {
  const next = normals(seed);
  return Array.from({ length: n }, next);
}
function leaning(n: number, phi: number): number[] {
  let level = 0;
  return noise(n).map((value) => {
    level = phi * level + Math.sqrt(1 - phi ** 2) * value;
    return level;
  });
}
/** A mixture as of heavy and light parts on one chart. */
const mixed = noise(900).map((value, i) => (i % 3 === 0 ? 2.2 : 0.8) * value);
const light = Array.from({ length: 400 }, (_, i) => ((i * 0.618034) % 1) - 0.5);

test("a rate is told of a stable normal process, and of one that leans on itself up to 0.45", () => {
  expect(untoldRate(proposed(noise(400)).diagnostics)).toBeNull();
  expect(untoldRate(proposed(leaning(400, 0.4), "overall").diagnostics)).toBeNull();
  expect(atOnce(chanceRateSteps(proposed(noise(400)), 100))).toMatchObject({
    untold: null,
    onceIn: expect.closeTo(370.4, 1),
  });
});

test.each<[string, readonly number[], "chart" | "overall", string]>([
  ["a long tail", noise(400).map((value) => Math.exp(value)), "chart", "one tail is long"],
  ["heavy and light ones on one chart", mixed, "chart", "tails are not those of a normal"],
  ["values that keep within bounds", light, "chart", "tails are not those of a normal"],
  ["few steps", noise(400).map((value) => 3 * Math.round(value / 2)), "chart", "few steps"],
  ["a level that stepped", noise(400).map((value, i) => value + (i > 220 ? 4 : 0)), "chart", "stepped"],
  ["neighbours that lean too much", leaning(400, 0.8), "overall", "lean on each other too much"],
  ["spikes", noise(100).map((value, i) => (i % 20 === 10 ? 9 : value)), "chart", "more of the baseline"],
])("none is told of %s, anywhere", (_, values, basis, why) => {
  const limits = proposed(values, basis);
  expect(untoldRate(limits.diagnostics)).toMatchObject({ code: "rate-unknown", detail: expect.stringContaining(why) });
  const rate = atOnce(chanceRateSteps(limits, 100));
  expect(rate).toMatchObject({ onceIn: null, aWeek: null, pair: { onceIn: null, aWeek: null } });
  expect(rate.range.lengths.ok).toBe(false);
});

test("what lies beyond is counted against the limits proposed, not against those of the other basis", () => {
  const values = leaning(400, 0.42);
  expect(proposed(values, "chart").diagnostics.cautions).toContain("signals-in-baseline");
  expect(proposed(values, "overall").diagnostics.cautions).not.toContain("signals-in-baseline");
});
