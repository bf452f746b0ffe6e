import { expect, test } from "vitest";
import { rationalSubgroups } from "../../../../spc/charts/rational-subgroups.ts";
import { settingOf } from "../../../../spc/model/run.ts";
import { advance } from "../../../../spc/model/stage.ts";
import type { RunValue } from "../../../../spc/monitor/subgrouper.ts";
import { subgrouper } from "../../../../spc/monitor/subgrouper.ts";

const runs = (...minutes: readonly (readonly [number, number | null, string?])[]): RunValue[] =>
  minutes.map(([minute, value, setting]) => ({
    run: `r${minute}`,
    atMs: minute * 60_000,
    value,
    setting: setting ?? "",
  }));
const gathered = (inputs: readonly RunValue[]) => {
  const { state, out } = advance(subgrouper(3, 60_000), inputs);
  return {
    ended: out.map(({ members, shortBy }) => [members.map(({ run }) => run).join(" "), shortBy]),
    waiting: state.map(({ run }) => run),
  };
};

test("so many runs in a row make a subgroup, a run without a value takes its place, and the rest waits", () => {
  expect(gathered(runs([0, 1], [1, null], [2, 1], [3, 1]))).toEqual({ ended: [["r0 r1 r2", null]], waiting: ["r3"] });
});

test("a gap of more than three expected intervals ends a subgroup short, one of three does not", () => {
  expect(gathered(runs([0, 1], [1, 1], [4, 1])).ended).toEqual([["r0 r1 r4", null]]);
  expect(gathered(runs([0, 1], [1, 1], [5, 1]))).toEqual({ ended: [["r0 r1", "gap"]], waiting: ["r5"] });
});

test("no subgroup reaches across a change of part or tool", () => {
  expect(gathered(runs([0, 1, "A"], [1, 1, "A"], [2, 1, "B"]))).toEqual({
    ended: [["r0 r1", "change"]],
    waiting: ["r2"],
  });
});

test("what counts as a change is part and tool unless the settings say otherwise", () => {
  const run = { context: { part: "OFW-2107", tool: "T-3", flask: "FA-1" } };
  expect(settingOf(run)).toBe("OFW-2107 T-3");
  expect(settingOf(run, { anewWith: ["tool"] })).toBe("T-3");
  expect(settingOf(run, { anewWith: [] })).toBe("");
  expect(settingOf({ context: {} })).toBe("");
});

test("subgroups of one are the runs themselves", () => {
  const { out, state } = advance(subgrouper(1, 60_000), runs([0, 1], [90, null]));
  expect(out.map(({ members, shortBy }) => [members.length, shortBy])).toEqual([
    [1, null],
    [1, null],
  ]);
  expect(state).toEqual([]);
});

test("of stored runs the last subgroup counts though runs may lack, and one of a single value holds its place", () => {
  const subgroups = rationalSubgroups(
    [1, 2, null, null, 5, null, 7].map((value, index) => ({
      index,
      atMs: index * 60_000,
      runs: [`r${index}`],
      values: value === null ? [] : [value],
    })),
    3,
    60_000,
  );
  expect(subgroups.map(({ runs: names, values }) => [names.length, values])).toEqual([
    [3, [1, 2]],
    [3, []],
    [1, []],
  ]);
});
