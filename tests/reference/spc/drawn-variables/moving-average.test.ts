import { expect, test } from "vitest";
import { drawMovingAverage } from "../../../../spc/drawn/moving-average.ts";
import { usualDesign } from "../../../../spc/model/chart-design.ts";
import { singles } from "../../../../spc/model/grouped.ts";
import { numbers } from "../../../unit/spc/drawn-variables/looking.ts";
import { reference } from "../../ledger/reference.ts";
import { relative } from "../../ledger/tolerance.ts";

const record = reference("rare_shortrun_misc.json", ["input"]).find(({ id }) => id === "moving-average-w4")!;

test(`${record.title}: averages of up to four, and limits that narrow with them`, () => {
  const x = record.get<readonly number[]>("input.x");
  const given = { centre: record.get<number>("input.mu"), sigma: record.get<number>("input.sigma") };
  const design = { ...usualDesign({ from: 0, to: x.length }), ...given };
  const [chart, spread] = drawMovingAverage(singles(x), design, record.get<number>("input.w")).charts;
  record.checkAll("recomputed.MA", numbers(chart!.values), relative(1e-13));
  const halves = numbers(chart!.upper).map((upper) => upper - given.centre);
  record.checkAll("recomputed.half_width", halves, relative(1e-12));
  const below = numbers(chart!.lower).map((lower) => given.centre - lower);
  record.checkAll("recomputed.half_width", below, relative(1e-12));
  expect([chart!.kind, chart!.patterns, spread!.kind]).toEqual(["moving-average", "limit", "moving-range"]);
});
