import { expect, test } from "vitest";
import { ewmaStage } from "../../../../spc/charts/ewma.ts";
import type { EwmaScheme } from "../../../../spc/charts/ewma-state.ts";
import { ewmaVariance, independent } from "../../../../spc/charts/ewma-width.ts";
import { drawEwma } from "../../../../spc/drawn/ewma.ts";
import { usualDesign } from "../../../../spc/model/chart-design.ts";
import { verdictAt } from "../../../../spc/model/drawn-chart.ts";
import { singles } from "../../../../spc/model/grouped.ts";
import { advance } from "../../../../spc/model/stage.ts";
import { reference } from "../../ledger/reference.ts";
import { printed, relative } from "../../ledger/tolerance.ts";

const record = reference("nist_examples.json", ["input", "published.*.decimals", "published.*.tolerance"]).find(
  ({ id }) => id === "nist-6.3.2.4-ewma",
)!;
const { values, lam, start, sigma, L } = record.get<{
  values: number[];
  lam: number;
  start: number;
  sigma: number;
  L: number;
}>("input");
const design = { ...usualDesign({ from: 0, to: values.length }), centre: start, sigma };

test(`${record.title}: EWMA and settled limits`, () => {
  const { charts } = drawEwma(singles(values), design, { lambda: lam, width: L, asymptotic: true });
  const chart = charts[0]!;
  const drawn = values.map((_, i) => chart.values.at(i)!);
  record.checkAll("published.0.value", drawn, printed(2));
  record.checkAll("recomputed.ewma", drawn, relative(1e-12));
  record.check("published.1.value", chart.upper.at(0)!, printed(4));
  // Printed truncated; the file allows 0.0001.
  record.checkMisprint("published.2.value", chart.lower.at(0)!, printed(4), 0.0001);
  record.check("recomputed.ucl", chart.upper.at(0)!, relative(1e-12));
  record.check("recomputed.lcl", chart.lower.at(0)!, relative(1e-12));
  record.check("recomputed.limit_factor", Math.sqrt(ewmaVariance(lam)), relative(1e-12));
  // The file's list of points beyond a limit is empty.
  expect(values.map((_, i) => verdictAt(chart, i)).every((verdict) => verdict === "within")).toBe(true);
});

test(`${record.title}: exact limits, point by point, as a stage and as a chart`, () => {
  const chart = drawEwma(singles(values), design, { lambda: lam, width: L }).charts[0]!;
  record.checkAll(
    "recomputed.exact_limit_halfwidth_by_t",
    values.map((_, i) => chart.upper.at(i)! - start),
    relative(1e-12),
  );
  const scheme: EwmaScheme = {
    centre: start,
    sigma,
    alike: true,
    lambda: lam,
    width: L,
    asymptotic: false,
    headStart: null,
    dependence: independent,
  };
  const points = values.map((value, i) => ({ subgroup: i, atMs: i, value, size: 1 }));
  const judged = advance(ewmaStage(scheme), points).out;
  expect(judged.map(({ verdict }) => verdict)).toEqual(values.map((_, i) => verdictAt(chart, i)));
  expect(judged.map(({ value }) => value)).toEqual(values.map((_, i) => chart.values.at(i)));
  expect(judged.every(({ verdict }) => verdict === "within")).toBe(true);
});
