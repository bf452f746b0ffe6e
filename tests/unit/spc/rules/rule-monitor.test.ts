import { expect, test } from "vitest";
import { chartPoint } from "../../../../spc/charts/chart-point.ts";
import { advance } from "../../../../spc/model/stage.ts";
import { ruleById } from "../../../../spc/rules/rule.ts";
import type { RulePoint } from "../../../../spc/rules/rule-monitor.ts";
import { ruleMonitor } from "../../../../spc/rules/rule-monitor.ts";

const limits = { centre: 0, sigma: 1, lower: -3, upper: 3 };
const points = (values: readonly (number | null)[], corrected: readonly number[] = []): RulePoint[] =>
  values.map((value, i) => ({
    run: `r${i}`,
    atMs: i,
    point: chartPoint({ subgroup: i, atMs: i, value }, value, limits),
    corrected: corrected.includes(i),
  }));
const monitor = (rule: string, restart?: "after-correction" | "never") =>
  ruleMonitor([ruleById(rule)], limits, { everyMs: 1 }, restart);
const nineteen = Array.from({ length: 19 }, () => 0.5);

test("after a correction a run needs nine new points; while limits are sought nothing is forgotten", () => {
  const runs = (hits: readonly { readonly members: readonly string[] }[]) => hits.map(({ members }) => members.at(-1));
  const corrected = points(nineteen, [9]);
  expect(runs(advance(monitor("nine-on-one-side"), corrected).out)).toEqual(["r8", "r17", "r18"]);
  const all = Array.from({ length: 11 }, (_, i) => `r${i + 8}`);
  expect(runs(advance(monitor("nine-on-one-side", "never"), corrected).out)).toEqual(all);
});

test("a correction that comes with a missing point counts all the same", () => {
  const values = [...nineteen.slice(0, 8), null, 0.5, 0.5];
  expect(advance(monitor("nine-on-one-side"), points(values)).out).toHaveLength(2);
  expect(advance(monitor("nine-on-one-side"), points(values, [8])).out).toEqual([]);
});

test("points on lines of their own are compared in sigma", () => {
  // Values rise, but each less beyond its own centre than the one before.
  const falling = [0, 1, 2, 3, 4, 5].map((i) => ({
    run: `r${i}`,
    atMs: i,
    sigma: 1 + i,
    point: { subgroup: i, value: 10 + i, centre: 10 + i * 3, lower: -100, upper: 100, verdict: "within" as const },
  }));
  const { out } = advance(monitor("six-in-one-direction"), falling);
  expect(out.map(({ side }) => side)).toEqual(["below"]);
});
