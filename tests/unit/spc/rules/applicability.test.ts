import { expect, test } from "vitest";
import { drawAveragesWithS } from "../../../../spc/drawn/averages-s.ts";
import { drawIndividuals } from "../../../../spc/drawn/individuals.ts";
import { drawMedians } from "../../../../spc/drawn/medians.ts";
import { usualDesign } from "../../../../spc/model/chart-design.ts";
import { singles, subgroups } from "../../../../spc/model/grouped.ts";
import { patternsByKind, rulesNotApplied, rulesSilencedBy, rulesTaken } from "../../../../spc/rules/applicability.ts";
import { ruleIds } from "../../../../spc/rules/rule-ids.ts";

test("location charts take all eight, attributes the first four, and what overlaps or is skewed its limit only", () => {
  expect(rulesNotApplied({ patterns: "all" }, ruleIds)).toEqual([]);
  expect(rulesNotApplied({ patterns: "first-four" }, ruleIds)).toEqual(ruleIds.slice(4));
  expect(rulesNotApplied({ patterns: "limit" }, ruleIds)).toEqual(ruleIds.slice(1));
  expect(rulesNotApplied({ patterns: "limit" }, ["beyond-limit"])).toEqual([]);
});

test("every kind of chart stands in the table, and its limits always apply", () => {
  for (const patterns of Object.values(patternsByKind)) expect(rulesTaken[patterns]).toContain("beyond-limit");
  expect(patternsByKind["moving-range"]).toBe("limit");
  expect(patternsByKind["ewma"]).toBe("limit");
  expect(patternsByKind["p"]).toBe("first-four");
  expect(patternsByKind["individuals"]).toBe("all");
});

test("where values depend on each other, the rules that count one side or one direction page nobody", () => {
  expect(rulesSilencedBy(false)).toEqual([]);
  expect(rulesSilencedBy(true)).toEqual(["nine-on-one-side", "six-in-one-direction", "four-of-five-beyond-one-sigma"]);
});

test("drawn charts carry what the table says of their kind", () => {
  const design = usualDesign({ from: 0, to: 4 });
  const groups = subgroups([
    [1, 2, 4],
    [2, 3, 3],
    [1, 5, 2],
    [3, 2, 2],
  ]);
  const charts = [
    ...drawIndividuals(singles([1, 3, 2, 4]), design).charts,
    ...drawAveragesWithS(groups, design).charts,
    ...drawMedians(groups, design).charts,
  ];
  for (const { kind, patterns } of charts) expect([kind, patterns]).toEqual([kind, patternsByKind[kind]]);
});
