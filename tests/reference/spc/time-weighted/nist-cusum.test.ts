import { expect, test } from "vitest";
import { cusumStage } from "../../../../spc/charts/cusum.ts";
import { drawCusum } from "../../../../spc/drawn/cusum.ts";
import { cusumShiftAt } from "../../../../spc/drawn/cusum-follow.ts";
import { cumulativeDeviation } from "../../../../spc/drawn/cusum-plain.ts";
import { usualDesign } from "../../../../spc/model/chart-design.ts";
import { columnFrom } from "../../../../spc/model/column.ts";
import { verdictAt } from "../../../../spc/model/drawn-chart.ts";
import { singles } from "../../../../spc/model/grouped.ts";
import { advance } from "../../../../spc/model/stage.ts";
import { reference } from "../../ledger/reference.ts";
import { absolute } from "../../ledger/tolerance.ts";

const inputs = ["input", "published.*.decimals", "published.*.tolerance"];
const record = reference("nist_examples.json", inputs).find(({ id }) => id === "nist-6.3.2.3-cusum")!;
const input = record.get<{ values: number[]; target: number; k: number; h: number; sigma_xbar: number }>("input");
const { values, target, k, h, sigma_xbar: sigma } = input;
// The file's points are averages of four with their own sigma: single values of that sigma here.
const data = singles(values);
const design = { ...usualDesign({ from: 0, to: values.length }), centre: target, sigma };
const { charts, scheme } = drawCusum(data, design, { k, h, units: "data" });
const [upper, lower] = [charts[0]!, charts[1]!];
const inDataUnits = (chart: typeof upper): number[] => values.map((_, i) => chart.values.at(i)! * sigma);
// The file allows 0.0051, for its sums were rounded at the half.
const allowed = absolute(0.0051);

test(`${record.title}: both sums and the plain one`, () => {
  record.checkAll("published.0.value", inDataUnits(upper), allowed);
  record.checkAll("published.1.value", inDataUnits(lower), allowed);
  record.checkAll("recomputed.S_hi", inDataUnits(upper), absolute(1e-10));
  record.checkAll("recomputed.S_lo", inDataUnits(lower), absolute(1e-10));
  const plain = cumulativeDeviation(columnFrom(values), target);
  const sums = values.map((_, i) => plain.at(i)!);
  record.checkAll("published.2.value", sums, allowed);
  record.checkAll("recomputed.cusum", sums, absolute(1e-10));
});

test(`${record.title}: first signal, and where the shift began`, () => {
  const first = values.findIndex((_, i) => verdictAt(upper, i) === "above");
  record.check("published.3.value", first + 1, absolute(0));
  record.check("recomputed.first_signal_index_1based", first + 1, absolute(0));
  expect(values.some((_, i) => verdictAt(lower, i) === "above")).toBe(false);
  const shift = cusumShiftAt(columnFrom(values), data, scheme!, "upper", first)!;
  record.check("recomputed.shift_start_estimate_last_zero_plus_1", shift.since + 1, absolute(0));
  expect(shift.points).toBe(2);
  // Both points since then lie 3.325 and 2.25 above the target.
  expect(shift.mean).toBeCloseTo(target + (3.325 + 2.25) / 2, 9);
  expect(upper.upper.at(0)).toBeCloseTo(h / sigma, 12);
});

test(`${record.title}: the stage says the same, point by point`, () => {
  const points = values.map((value, i) => ({ subgroup: i, atMs: i, value, size: 1 }));
  const judged = advance(cusumStage(scheme!), points).out;
  expect(judged.map((point) => point.upper.value)).toEqual(values.map((_, i) => upper.values.at(i)));
  expect(judged.map((point) => point.lower.value)).toEqual(values.map((_, i) => lower.values.at(i)));
  expect(judged.findIndex((point) => point.upper.verdict === "above")).toBe(13);
});
