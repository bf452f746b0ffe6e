import { expect, test } from "vitest";
import type { LimitSet } from "../../../../spc/model/limit-set.ts";
import { advance } from "../../../../spc/model/stage.ts";
import { characteristicMonitor } from "../../../../spc/monitor/characteristic-monitor.ts";
import { flaggingRules, silencedRules } from "../../../../spc/rules/applied-rules.ts";
import { ruleIds } from "../../../../spc/rules/rule-ids.ts";
import { limitsOf, plateau, points } from "../press-fixtures.ts";

const leaning = (set: LimitSet): LimitSet => ({
  ...set,
  diagnostics: { ...set.diagnostics, lag1: 0.4, lag1Band: [-0.14, 0.14] },
});
const all = { ...limitsOf(plateau, 1), rules: ruleIds };

test("where lag 1 lies outside its band, the rules that count a side or a direction may open no flag", () => {
  expect(silencedRules(all)).toEqual([]);
  expect(silencedRules(leaning(all))).toEqual([
    "nine-on-one-side",
    "six-in-one-direction",
    "four-of-five-beyond-one-sigma",
  ]);
  expect(flaggingRules(leaning(all), "location").map(({ id }) => id)).toEqual([
    "beyond-limit",
    "fourteen-alternating",
    "two-of-three-beyond-two-sigma",
    "fifteen-within-one-sigma",
    "eight-outside-one-sigma",
  ]);
  expect(flaggingRules({ ...leaning(all), basis: "overall" }, "location").map(({ id }) => id)).toEqual([
    "beyond-limit",
  ]);
});

test("a silenced pattern is told at its point, with no signal and no flag", () => {
  const inputs = points(Array.from({ length: 10 }, () => 0.923));
  const own = advance(characteristicMonitor(plateau), [{ kind: "limits", set: limitsOf() }, ...inputs]);
  expect(own.state.flag).not.toBeNull();
  const { state, out } = advance(characteristicMonitor(plateau), [
    { kind: "limits", set: leaning(limitsOf()) },
    ...inputs,
  ]);
  expect(state.flag).toBeNull();
  const told = out.flatMap((one) => (one.kind === "point" ? [one.point] : []));
  expect(told.at(-1)).toMatchObject({ signals: [], silenced: [{ rule: "nine-on-one-side", side: "above" }] });
  expect(told[0]).not.toHaveProperty("silenced");
  expect(out.some((one) => one.kind === "signal")).toBe(false);
});

test("a point beyond its limit flags as ever, and the silenced pattern beside it does not", () => {
  const inputs = points([...Array.from({ length: 9 }, () => 0.923), 0.935]);
  const { out } = advance(characteristicMonitor(plateau), [{ kind: "limits", set: leaning(limitsOf()) }, ...inputs]);
  const last = out.flatMap((one) => (one.kind === "point" ? [one.point] : [])).at(-1)!;
  expect(last.signals.map((id) => id.split("/").at(-2))).toEqual(["beyond-limit"]);
  expect(last.silenced).toEqual([{ rule: "nine-on-one-side", side: "above" }]);
});
