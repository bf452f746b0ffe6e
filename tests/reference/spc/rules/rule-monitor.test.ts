import { expect, test } from "vitest";
import { chartPoint } from "../../../../spc/charts/chart-point.ts";
import { advance } from "../../../../spc/model/stage.ts";
import type { Rule } from "../../../../spc/rules/rule.ts";
import { ruleById } from "../../../../spc/rules/rule.ts";
import { ruleMonitor } from "../../../../spc/rules/rule-monitor.ts";
import { referenceData } from "../data.ts";

interface Vector {
  readonly id: string;
  readonly note: string;
  readonly z: readonly (number | null)[];
  readonly completing: Readonly<Record<string, readonly number[]>>;
}

const vectors = referenceData<readonly Vector[]>("run-rules");
const row = (id: string, hits: number, of: number, beyond: number): Rule => ({
  id,
  kind: "window",
  on: ["location"],
  hits,
  of,
  beyond,
});
/** Our two rows under the reference's names, and rows that later charts may switch on. */
const rows: readonly Rule[] = [
  { ...ruleById("beyond-limit"), id: "N1" },
  { ...ruleById("nine-on-one-side"), id: "N2" },
  row("N5", 2, 3, 2),
  row("N6", 4, 5, 1),
  row("WE4_eight", 8, 8, 0),
  row("ISO_seven", 7, 7, 0),
];

/** A chart of z itself, and one where centre and sigma are those of a pour temperature. */
const scales = [
  { centre: 0, sigma: 1 },
  { centre: 750, sigma: 4 },
];

test.each(vectors.flatMap((vector) => scales.map((scale) => [vector.id, scale, vector] as const)))(
  "%s on %o completes each rule at the points of a separate implementation",
  (_, { centre, sigma }, vector) => {
    const limits = { centre, sigma, lower: centre - 3 * sigma, upper: centre + 3 * sigma };
    const monitor = ruleMonitor(rows, limits, { everyMs: 1000 });
    const found: Record<string, number[]> = Object.fromEntries(rows.map(({ id }) => [id, []]));
    let state = monitor.initial;
    vector.z.forEach((z, i) => {
      const place = { subgroup: i, atMs: i * 1000, value: z };
      const point = chartPoint(place, z === null ? null : centre + z * sigma, limits);
      const next = monitor.step(state, { run: `r${i + 1}`, atMs: place.atMs, point });
      state = next.state;
      for (const hit of next.out) found[hit.rule]!.push(i + 1);
    });
    for (const { id } of rows) expect(found[id], `${id}: ${vector.note}`).toEqual(vector.completing[id]);
  },
);

test("the pattern's runs are listed oldest first, missing ones left out", () => {
  const limits = { centre: 0, sigma: 1, lower: -3, upper: 3 };
  const point = (i: number, value: number | null) => ({
    run: `r${i}`,
    atMs: i * 1000,
    point: chartPoint({ subgroup: i, atMs: i * 1000, value }, value, limits),
  });
  const nine = advance(
    ruleMonitor(rows.slice(1, 2), limits, { everyMs: 1000 }),
    [-1, 1, 1, 1, 1, null, 1, 1, 1, 1, 1].map((value, i) => point(i, value)),
  );
  expect(nine.out).toEqual([
    { rule: "N2", side: "above", members: ["r1", "r2", "r3", "r4", "r6", "r7", "r8", "r9", "r10"], line: 0 },
  ]);
  const two = advance(
    ruleMonitor(rows.slice(2, 3), limits, { everyMs: 1000 }),
    [-2.5, 0, -2.5].map((value, i) => point(i, value)),
  );
  expect(two.out).toEqual([{ rule: "N5", side: "below", members: ["r0", "r2"], line: -2 }]);
});

test("a rule without a row is a defect that names the rows there are", () => {
  expect(() => ruleById("ten-in-a-row")).toThrow(/beyond-limit, nine-on-one-side/);
});
