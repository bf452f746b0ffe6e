import fc from "fast-check";
import { drawAveragesWithRange } from "../../../../spc/drawn/averages-range.ts";
import { drawAveragesWithS } from "../../../../spc/drawn/averages-s.ts";
import { drawIndividuals } from "../../../../spc/drawn/individuals.ts";
import { drawMedians } from "../../../../spc/drawn/medians.ts";
import { drawMovingAverage } from "../../../../spc/drawn/moving-average.ts";
import { drawThreeWay } from "../../../../spc/drawn/three-way.ts";
import type { ChartDesign } from "../../../../spc/model/chart-design.ts";
import type { DrawnCharts } from "../../../../spc/model/drawn-chart.ts";
import type { Grouped } from "../../../../spc/model/grouped.ts";

type Draw = (data: Grouped, design: ChartDesign) => DrawnCharts;

/** Every form that takes subgroups of any size. */
export const groupedForms: readonly (readonly [string, Draw])[] = [
  ["averages with s", drawAveragesWithS],
  ["averages with ranges", drawAveragesWithRange],
  ["medians", drawMedians],
  ["three-way with s", drawThreeWay],
  ["three-way with ranges", (data, design) => drawThreeWay(data, design, "range")],
  ["moving average", (data, design) => drawMovingAverage(data, design, 3)],
];

/** Those, and the one that takes single values only. */
export const allForms: readonly (readonly [string, Draw, boolean])[] = [
  ...groupedForms.map(([name, draw]) => [name, draw, false] as const),
  ["individuals", drawIndividuals, true],
];

/** Subgroups of whole numbers, some empty, some of one; single ones where asked. */
export function lists(value: fc.Arbitrary<number>, single: boolean): fc.Arbitrary<readonly (readonly number[])[]> {
  return fc.array(fc.array(value, { maxLength: single ? 1 : 5 }), { maxLength: 25 });
}
