import { expect, test } from "vitest";
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
