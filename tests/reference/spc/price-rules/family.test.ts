import { expect, test } from "vitest";
import { familyFalseAlarm } from "../../../../spc/price/phase1-family.ts";
import { ruleById } from "../../../../spc/rules/rule.ts";
import { reference } from "../../ledger/reference.ts";
import { printed } from "../../ledger/tolerance.ts";

const records = reference("phase1_family_false_alarm.csv", []);
const fourZoneRules = [
  "beyond-limit",
  "two-of-three-beyond-two-sigma",
  "four-of-five-beyond-one-sigma",
  "eight-on-one-side",
];
const sets: Record<string, readonly string[]> = {
  N1: ["beyond-limit"],
  "N1+N2(nine)": ["beyond-limit", "nine-on-one-side"],
  "N1+8 run": ["beyond-limit", "eight-on-one-side"],
  "four Western Electric": fourZoneRules,
};

test.each(records.map((record) => [record.title, record] as const))("%s over a whole baseline", (_, record) => {
  const rules = sets[record.get<string>("rule_set")]!.map(ruleById);
  for (const points of [20, 25, 30, 50, 100]) {
    const { chance, standardError } = familyFalseAlarm(rules, points);
    record.check(`P_within_${points}`, chance, printed(4));
    expect(standardError).toBeNull();
  }
});

test("with a step rule the chance is simulated, and lies near what its windows alone would give", () => {
  const { chance, standardError } = familyFalseAlarm(["beyond-limit", "six-in-one-direction"].map(ruleById), 25);
  const without = familyFalseAlarm([ruleById("beyond-limit")], 25).chance;
  expect(standardError).toBeGreaterThan(0);
  expect(chance).toBeGreaterThan(without);
  expect(chance).toBeLessThan(without + 20 / 360 + 4 * standardError!);
});
