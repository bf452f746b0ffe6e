import { expect, test } from "vitest";
import { advance } from "../../../../spc/model/stage.ts";
import type { RuledPoint } from "../../../../spc/rules/rule-events.ts";
import { ruleEvents } from "../../../../spc/rules/rule-events.ts";
import type { RuleHit } from "../../../../spc/rules/rule-monitor.ts";

const nine: RuleHit = { rule: "nine-on-one-side", side: "above", members: [], line: 0 };
const limit: RuleHit = { rule: "beyond-limit", side: "above", members: [], line: 3 };
const point = (run: string, hits: readonly RuleHit[], evaluable = true): RuledPoint => ({ run, hits, evaluable });

test("a pattern that keeps completing is one event, from its first completing point until it breaks", () => {
  const { out, state } = advance(ruleEvents(), [
    point("r1", []),
    point("r2", [nine]),
    point("r3", [nine, limit]),
    point("r4", [], false),
    point("r5", [nine]),
    point("r6", []),
  ]);
  expect(out.map(({ kind, event }) => [kind, event.rule, event.from, event.to, event.points])).toEqual([
    ["opened", "nine-on-one-side", "r2", "r2", 1],
    ["extended", "nine-on-one-side", "r2", "r3", 2],
    ["opened", "beyond-limit", "r3", "r3", 1],
    ["extended", "nine-on-one-side", "r2", "r5", 3],
    ["closed", "beyond-limit", "r3", "r3", 1],
    ["closed", "nine-on-one-side", "r2", "r5", 3],
  ]);
  expect(state).toEqual([]);
});

test("the other side of a rule is another event", () => {
  const below: RuleHit = { ...limit, side: "below" };
  const { out } = advance(ruleEvents(), [point("r1", [limit]), point("r2", [below])]);
  expect(out.map(({ kind, event }) => [kind, event.side])).toEqual([
    ["opened", "above"],
    ["opened", "below"],
    ["closed", "above"],
  ]);
});
