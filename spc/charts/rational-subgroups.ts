import type { Subgroup } from "../model/chart.ts";
import { advance } from "../model/stage.ts";
import type { Gathered, RunValue } from "../monitor/subgrouper.ts";
import { subgrouper } from "../monitor/subgrouper.ts";

/**
 * Rational subgroups of stored runs: the same ones that the live charts would make of them.
 *
 * @shape   one run each, in time order, with its value or none; runs of a subgroup; expected time from run to run
 * @unit    that of the characteristic
 * @method  as `subgrouper`; the last one, still waiting for its runs, ends with them. A subgroup of several runs with
 *          fewer than two values holds its place and has none: it says nothing of spread
 * @throws  RangeError for an interval that is not above zero: a defect in the caller
 * @cost    O(n)
 * @source  common practice, no source
 * @checked tests/unit/spc/monitor/subgrouper.test.ts
 */
export function rationalSubgroups(runs: readonly Subgroup[], size: number, everyMs: number): readonly Subgroup[] {
  const inputs = runs.map(({ atMs, runs: names, values, setting }): RunValue => {
    return { run: names[0]!, atMs, value: values[0] ?? null, setting: setting ?? "" };
  });
  const { state, out } = advance(subgrouper(size, everyMs), inputs);
  const all: readonly Gathered[] = state.length === 0 ? out : [...out, { members: state, shortBy: "gap" }];
  return all.map(({ members }, index): Subgroup => {
    const values = members.flatMap(({ value }) => (value === null ? [] : [value]));
    const enough = values.length >= Math.min(size, 2);
    const { atMs, setting } = members.at(-1)!;
    const place = { index, atMs, runs: members.map(({ run }) => run), values: enough ? values : [] };
    return setting === "" ? place : { ...place, setting };
  });
}
