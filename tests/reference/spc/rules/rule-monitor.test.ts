import { expect, test } from "vitest";
import { chartPoint } from "../../../../spc/charts/chart-point.ts";
import { advance } from "../../../../spc/model/stage.ts";
import type { Rule } from "../../../../spc/rules/rule.ts";
import { ruleById } from "../../../../spc/rules/rule.ts";
import { ruleMonitor } from "../../../../spc/rules/rule-monitor.ts";
import { reference } from "../../ledger/reference.ts";
import { absolute } from "../../ledger/tolerance.ts";

const records = reference("run_rule_vectors.json", ["z"]);
/** Our rows under the names of the published vectors. */
const names: Record<string, string> = {
  N1: "beyond-limit",
  N2: "nine-on-one-side",
  N3: "six-in-one-direction",
  N4: "fourteen-alternating",
  N5: "two-of-three-beyond-two-sigma",
  N6: "four-of-five-beyond-one-sigma",
  N7: "fifteen-within-one-sigma",
  N8: "eight-outside-one-sigma",
  WE4_eight: "eight-on-one-side",
  ISO_seven: "seven-on-one-side",
  ISO_trend_seven: "seven-in-one-direction",
};
const rows: readonly Rule[] = Object.entries(names).map(([id, name]) => ({ ...ruleById(name), id }));

/** A chart of z itself, and one where centre and sigma are those of a pour temperature. */
const scales = [
  { centre: 0, sigma: 1 },
  { centre: 750, sigma: 4 },
];

test.each(records.flatMap((record) => scales.map((scale) => [record.title, scale, record] as const)))(
  "%s on %o completes each rule at the published points",
  (_, { centre, sigma }, record) => {
    const limits = { centre, sigma, lower: centre - 3 * sigma, upper: centre + 3 * sigma };
    const monitor = ruleMonitor(rows, limits, { everyMs: 1000 });
    const found: Record<string, number[]> = Object.fromEntries(rows.map(({ id }) => [id, []]));
    let state = monitor.initial;
    record.get<readonly (number | null)[]>("z").forEach((z, i) => {
      const place = { subgroup: i, atMs: i * 1000, value: z };
      const point = chartPoint(place, z === null ? null : centre + z * sigma, limits);
      const next = monitor.step(state, { run: `r${i + 1}`, atMs: place.atMs, point });
      state = JSON.parse(JSON.stringify(next.state)) as typeof state;
      for (const hit of next.out) found[hit.rule]!.push(i + 1);
    });
    const expected = record.get<Record<string, readonly number[]>>("expected_completing_points_1based");
    expect(Object.keys(expected).sort()).toEqual(Object.keys(names).sort());
    for (const { id } of rows) {
      record.checkAll(`expected_completing_points_1based.${id}`, found[id]!, absolute(0));
    }
  },
);

test("the pattern's runs are listed oldest first, missing ones left out", () => {
  const limits = { centre: 0, sigma: 1, lower: -3, upper: 3 };
  const point = (i: number, value: number | null) => ({
    run: `r${i}`,
    atMs: i * 1000,
    point: chartPoint({ subgroup: i, atMs: i * 1000, value }, value, limits),
  });
  const hitsOf = (rule: string, values: readonly (number | null)[]) =>
    advance(
      ruleMonitor(
        rows.filter(({ id }) => id === rule),
        limits,
        { everyMs: 1000 },
      ),
      values.map((value, i) => point(i, value)),
    ).out;
  expect(hitsOf("N2", [-1, 1, 1, 1, 1, null, 1, 1, 1, 1, 1])).toEqual([
    { rule: "N2", side: "above", members: ["r1", "r2", "r3", "r4", "r6", "r7", "r8", "r9", "r10"], line: 0 },
  ]);
  expect(hitsOf("N5", [-2.5, 0, -2.5])).toEqual([{ rule: "N5", side: "below", members: ["r0", "r2"], line: -2 }]);
  expect(hitsOf("N3", [0, 5, 4, null, 3, 2, 1, 0])).toEqual([
    { rule: "N3", side: "below", members: ["r1", "r2", "r4", "r5", "r6", "r7"], line: 0 },
  ]);
  expect(hitsOf("N8", [2, 2, 2, -2, 2, 2, 2, 2])).toEqual([
    { rule: "N8", side: "both", members: ["r0", "r1", "r2", "r3", "r4", "r5", "r6", "r7"], line: 0 },
  ]);
});

test("a rule without a row is a defect that names the rows there are", () => {
  expect(() => ruleById("ten-in-a-row")).toThrow(/beyond-limit, nine-on-one-side/);
});
