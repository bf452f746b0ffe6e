import { expect, test } from "vitest";
import { drawAveragesWithRange } from "../../../../spc/drawn/averages-range.ts";
import { drawAveragesWithS } from "../../../../spc/drawn/averages-s.ts";
import { drawMedians } from "../../../../spc/drawn/medians.ts";
import { c4 } from "../../../../spc/factors/c4.ts";
import { factorA3 } from "../../../../spc/factors/chart-factors.ts";
import { usualDesign } from "../../../../spc/model/chart-design.ts";
import type { DrawnChart } from "../../../../spc/model/drawn-chart.ts";
import { subgroups } from "../../../../spc/model/grouped.ts";
import { estimateLocation } from "../../../../spc/sigma/location.ts";
import { mvlueRange, mvlueS } from "../../../../spc/sigma/mvlue.ts";
import { pooledS } from "../../../../spc/sigma/pooled-s.ts";
import { subgroupMoments } from "../../../../spc/sigma/subgroup-moments.ts";
import { subgroupRanges } from "../../../../spc/sigma/subgroup-ranges.ts";
import { beyond, numbers } from "../../../unit/spc/drawn-variables/looking.ts";
import { seriesColumn } from "../../ledger/published.ts";
import { reference } from "../../ledger/reference.ts";
import { absolute, either, printed, relative } from "../../ledger/tolerance.ts";

const exact = either(relative(1e-11), absolute(1e-13));
const computed = reference("variables_charts_computed.json", ["input", "recomputed.n"]);
const ccxbar = computed.find(({ id }) => id === "nist-ccxbar")!;
const unequal = computed.find(({ id }) => id === "unequal-subgroups")!;
const rings = reference("textbook_phase1.json", ["input"]).find(({ id }) => id === "xbar-S-piston-rings")!;

/** Subgroups of five from the column of a series. */
function fives(values: readonly number[]): readonly (readonly number[])[] {
  return Array.from({ length: values.length / 5 }, (_, i) => values.slice(5 * i, 5 * i + 5));
}

function drawn(lists: readonly (readonly number[])[]) {
  const data = subgroups(lists);
  const design = usualDesign({ from: 0, to: lists.length });
  const withRange = drawAveragesWithRange(data, design);
  const withS = drawAveragesWithS(data, design);
  const pooled = estimateLocation(data, design, "pooled-s");
  if (!pooled.ok) throw new Error(pooled.refusal.detail);
  return { data, withRange, withS, medians: drawMedians(data, design), pooled: pooled.value };
}

const limits = (record: typeof ccxbar, path: string, chart: DrawnChart) => {
  record.check(`${path}.ucl`, chart.upper.at(0)!, exact);
  record.check(`${path}.lcl`, chart.lower.at(0)!, exact);
};

test(`${ccxbar.title}: averages, ranges, standard deviations and medians with their limits`, () => {
  const { data, withRange, withS, medians, pooled } = drawn(fives(seriesColumn("nist_ccxbar", "thickness")));
  const [average, range] = withRange.charts;
  const [averageS, s] = withS.charts;
  const [median] = medians.charts;
  ccxbar.checkAll("recomputed.xbar", numbers(average!.values), exact);
  ccxbar.checkAll("recomputed.R", numbers(range!.values), exact);
  ccxbar.checkAll("recomputed.s", numbers(s!.values), exact);
  ccxbar.check("recomputed.xbarbar", average!.centres.at(0)!, exact);
  ccxbar.check("recomputed.R_bar", range!.centres.at(0)!, exact);
  ccxbar.check("recomputed.s_bar", s!.centres.at(0)!, exact);
  const { sds } = subgroupMoments(data);
  ccxbar.check("recomputed.s_pooled", pooledS(sds, data.starts).pooled, exact);
  ccxbar.check("recomputed.sigma_R", withRange.sigmaWithin!, exact);
  ccxbar.check("recomputed.sigma_s", withS.sigmaWithin!, exact);
  ccxbar.check("recomputed.sigma_pooled", pooled.sigma, exact);
  ccxbar.check("recomputed.c4_nu_plus_1", c4(pooled.df! + 1), exact);
  limits(ccxbar, "recomputed.xbar_R", average!);
  limits(ccxbar, "recomputed.R_chart", range!);
  ccxbar.check("recomputed.R_chart.cl", range!.centres.at(0)!, exact);
  limits(ccxbar, "recomputed.xbar_s", averageS!);
  limits(ccxbar, "recomputed.s_chart", s!);
  ccxbar.check("recomputed.s_chart.cl", s!.centres.at(0)!, exact);
  limits(ccxbar, "recomputed.median_chart", median!);
  ccxbar.check("recomputed.median_chart.cl", median!.centres.at(0)!, exact);
  ccxbar.checkAll("recomputed.median_chart.medians", numbers(median!.values), exact);
  const signals = { xbar_R: average, R: range, xbar_s: averageS, s };
  for (const [name, chart] of Object.entries(signals))
    ccxbar.checkAll(`recomputed.signals.${name}`, beyond(chart!), absolute(0));
});

test(`${unequal.title}: each subgroup has its own limits`, () => {
  const { data, withRange, withS, pooled } = drawn(unequal.get<readonly (readonly number[])[]>("input"));
  const { sds } = subgroupMoments(data);
  unequal.check("recomputed.grand_mean_weighted", withS.charts[0]!.centres.at(0)!, exact);
  unequal.check("recomputed.nu", withS.dfWithin!, absolute(0));
  unequal.check("recomputed.s_pooled", pooledS(sds, data.starts).pooled, exact);
  unequal.check("recomputed.c4_nu_plus_1", c4(pooled.df! + 1), exact);
  unequal.check("recomputed.sigma_pooled", withS.sigmaWithin!, exact);
  unequal.check("recomputed.sigma_mvlue_s", mvlueS(sds, data.starts).sigma, exact);
  unequal.check("recomputed.sigma_mvlue_R", mvlueRange(subgroupRanges(data), data.starts).sigma, relative(1e-9));
  expect(withRange.sigmaWithin).toBe(withS.sigmaWithin);
  for (const [i] of unequal.get<readonly number[]>("recomputed.n").entries()) {
    const [average, s] = withS.charts;
    unequal.checkAll(`recomputed.xbar_limits.${i}`, [average!.upper.at(i)!, average!.lower.at(i)!], exact);
    for (const [path, chart] of [
      ["s_chart", s!],
      ["R_chart", withRange.charts[1]!],
    ] as const) {
      unequal.check(`recomputed.${path}.${i}.cl`, chart.centres.at(i)!, exact);
      unequal.check(`recomputed.${path}.${i}.ucl`, chart.upper.at(i)!, relative(1e-9));
      unequal.check(`recomputed.${path}.${i}.lcl`, chart.lower.at(i)!, exact);
    }
  }
});

test(`${rings.title}: averages with ranges and with standard deviations`, () => {
  const { data, withRange, withS, pooled } = drawn(rings.get<readonly (readonly number[])[]>("input.subgroups"));
  const [average, range] = withRange.charts;
  const [averageS, s] = withS.charts;
  const close = relative(1e-9);
  rings.check("recomputed.xbarbar", average!.centres.at(0)!, exact);
  rings.check("recomputed.R_bar", range!.centres.at(0)!, close);
  rings.check("recomputed.s_bar", s!.centres.at(0)!, close);
  rings.check("recomputed.s_pooled", pooledS(subgroupMoments(data).sds, data.starts).pooled, close);
  rings.check("recomputed.sigma_R", withRange.sigmaWithin!, close);
  rings.check("recomputed.sigma_s", withS.sigmaWithin!, close);
  rings.check("recomputed.sigma_pooled_unbiased", pooled.sigma, close);
  rings.check("recomputed.c4_pooled", c4(pooled.df! + 1), close);
  limits(rings, "recomputed.xbar_R", average!);
  rings.check("recomputed.R.ucl", range!.upper.at(0)!, close);
  rings.check("recomputed.R.lcl", range!.lower.at(0)!, absolute(0));
  limits(rings, "recomputed.xbar_s", averageS!);
  rings.check("recomputed.s.ucl", s!.upper.at(0)!, close);
  rings.check("recomputed.s.lcl", s!.lower.at(0)!, absolute(0));
  rings.check("published.0.value.0", average!.centres.at(0)!, printed(3));
  rings.check("published.0.value.1", range!.centres.at(0)!, printed(5));
  rings.check("published.0.value.2", s!.centres.at(0)!, printed(4));
  // The book counts from rounded factors and averages, as by hand: 74.014 where 74.0146 is exact.
  const rounded = (value: number, decimals: number) => Number(value.toFixed(decimals));
  const half = rounded(factorA3(5), 3) * rounded(s!.centres.at(0)!, 4);
  rings.check("published.1.value.0", rounded(averageS!.centres.at(0)!, 3) + half, printed(3));
  rings.check("published.1.value.1", rounded(averageS!.centres.at(0)!, 3) - half, printed(3));
  expect(averageS!.upper.at(0)).toBeCloseTo(74.0146, 4);
  expect(averageS!.lower.at(0)).toBeCloseTo(73.988, 3);
  rings.check("published.1.value.2", s!.upper.at(0)!, printed(4));
  expect([average, range, averageS, s].flatMap((chart) => beyond(chart!))).toEqual([]);
});
