import { expect, test } from "vitest";
import type { WirePlanRow } from "../../../../api/contract/plan-wire.ts";
import { controlPlanSchema } from "../../../../api/contract/plan-wire.ts";
import { controlPlan } from "../../../../api/read-model/control-plan.ts";
import { chartText, reactionText, requirements, ruleText, sampleText } from "../../../../dashboard/model/plan-words.ts";
import { demoSite } from "../../../demo-site.ts";

const site = demoSite();
const plan = controlPlan(site, "0.1.0", Date.parse("2026-11-25T08:00:00Z"));
const row = (kind: string, feature: string): WirePlanRow => {
  const found = plan.rows.find((one) => one.kind === kind && one.feature === feature);
  if (found === undefined) throw new Error(`no row ${kind} ${feature}`);
  return found;
};

test("the plan has a row for each characteristic of each kind of station, in process order", () => {
  expect(controlPlanSchema.parse(plan)).toEqual(plan);
  const stages = [...new Set(plan.rows.map(({ stage }) => stage))];
  expect(stages).toEqual(site.stages.filter((stage) => stages.includes(stage)));
  const kinds = new Map(site.stations.map(({ kind, plans }) => [kind, plans.length]));
  expect(plan.rows).toHaveLength([...kinds.values()].reduce((sum, n) => sum + n, 0));
  expect(row("press", "mold.plateau").stations).toEqual(["PR-01", "PR-02", "PR-03", "PR-04"]);
});

// The starter control plan: what each row requires. Common practice, no source, unless the row itself says more.
test.each([
  ["pre-expander", "px.density", ["21.4 to 22.6, target 22.0\u202fg/L"]],
  ["press", "mold.plateau", ["0.82 to 0.98, target 0.90\u202fbarg"]],
  ["press", "mold.dTsat", ["\u22122.5 to 2.5, target 0.0\u202fK"]],
  ["ageing-oven", "oven.mean", ["52 to 58, target 55\u202f°C"]],
  ["ageing-oven", "oven.max", ["at most 62\u202f°C"]],
  ["dryer", "dry.residual", ["at most 0.5\u202f%"]],
  ["dryer", "dry.water_ratio", ["0.85 to 1.15, target 1.00"]],
  ["weigh-bench", "coat.weight", ["8.2 to 9.8, target 9.0\u202fg/dm²"]],
  ["compaction-table", "vib.rms", ["0.85 to 1.09, target 0.97\u202fg"]],
  ["compaction-table", "vib.crest", ["at most 2.2"]],
  ["compaction-table", "sand.T_fill", ["at most 48, target 38\u202f°C"]],
  [
    "pour-station",
    "pour.T1",
    [
      "OFW-2107 738 to 762, target 750\u202f°C",
      "OFW-2115 748 to 772, target 760\u202f°C",
      "OFW-2130 733 to 757, target 745\u202f°C",
    ],
  ],
])("%s %s requires what the starter plan says, and says where it comes from", (kind, feature, lines) => {
  const found = row(kind, feature);
  expect(requirements(found)).toEqual(lines);
  expect(found.source).not.toBeNull();
  expect(found.confidence).not.toBeNull();
});

test("whatever states a requirement says where it comes from and how far it is to be trusted", () => {
  const silent = plan.rows
    .filter(({ specification, parts }) => specification !== null || parts.some((one) => one.specification !== null))
    .filter(({ source, confidence }) => source === null || confidence === null);
  expect(silent.map(({ kind, feature }) => `${kind} ${feature}`)).toEqual([]);
});

test("each row says in words how it is charted, sampled, ruled, and what to do first", () => {
  const coat = row("weigh-bench", "coat.weight");
  expect(chartText(coat)).toBe("averages and standard deviation");
  expect(sampleText(coat)).toBe("5 clusters together, about one cluster in 12 min");
  expect(ruleText(coat)).toBe("none: the specification alone");
  expect(ruleText(row("press", "mold.plateau"))).toBe("a point beyond a limit");
  expect(chartText(row("compaction-table", "sand.T_fill"))).toBe("EWMA and spread, weight 0.2");
  expect(chartText(row("pour-station", "pour.T1"))).toBe("individuals and moving range, by part");
  expect(reactionText(row("pour-station", "pour.T1"))).toMatch(/^Act now, metal too cold: Re-dip/);
  const ladle = row("iron-pour-station", "ladle.first");
  expect(ladle.runWord).toBe("ladle");
  expect(requirements(ladle)).toEqual([
    "\u221220 to 20, target 0\u202fK off the part's own",
    expect.stringContaining("OFW-3304 1442"),
  ]);
  expect(ruleText(row("pour-station", "pour.gap"))).toBe("none: the specification alone");
});
