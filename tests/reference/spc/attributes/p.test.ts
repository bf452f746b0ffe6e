import { expect, test } from "vitest";
import { drawNp } from "../../../../spc/drawn/np.ts";
import { drawP } from "../../../../spc/drawn/p.ts";
import type { ChartDesign } from "../../../../spc/model/chart-design.ts";
import { usualDesign } from "../../../../spc/model/chart-design.ts";
import { counted } from "../../../../spc/model/counted.ts";
import type { DrawnChart } from "../../../../spc/model/drawn-chart.ts";
import { verdictAt } from "../../../../spc/model/drawn-chart.ts";
import { seriesColumn } from "../../ledger/published.ts";
import { reference } from "../../ledger/reference.ts";
import { printed, relative } from "../../ledger/tolerance.ts";

const exact = relative(1e-12);

/** Places, counted from one, whose points lie on that side of the limits. */
function signals(chart: DrawnChart, side: "above" | "below" | "any"): readonly number[] {
  const places = Array.from({ length: chart.values.length }, (_, place) => place);
  return places
    .filter((place) => {
      const verdict = verdictAt(chart, place);
      return side === "any" ? verdict === "above" || verdict === "below" : verdict === side;
    })
    .map((place) => place + 1);
}

function pChart(counts: readonly (number | null)[], n: number, design: Partial<ChartDesign> = {}): DrawnChart {
  const drawn = drawP(counted(counts, n), { ...usualDesign({ from: 0, to: counts.length }), ...design });
  return drawn.charts[0]!;
}

const lines = (chart: DrawnChart): readonly number[] => [chart.centres.at(0)!, chart.upper.at(0)!, chart.lower.at(0)!];

const [juice] = reference("textbook_phase1.json", ["input"]).filter(({ id }) => id === "p-chart-orange-juice");

test(juice!.title, () => {
  const counts = juice!.get<readonly number[]>("input.defectives");
  const n = juice!.get<number>("input.n");
  const trial = pChart(counts, n);
  ["p_bar", "ucl", "lcl"].forEach((name, i) => {
    juice!.check(`trial.${name}`, lines(trial)[i]!, exact);
  });
  juice!.checkAll("trial.signals_all_points_1based", signals(trial, "any"), exact);
  juice!.checkAll("trial.signals_among_retained", signals(trial, "any"), exact);
  juice!.checkAll("published.0.value", lines(trial), printed(4));

  // Both points had causes: their samples are left out, and the limits frozen for all.
  const without = counts.map((count, i) => (signals(trial, "any").includes(i + 1) ? null : count));
  const retained = pChart(without, n);
  const revised = pChart(counts, n, { centre: retained.centres.at(0) });
  expect(revised.provenance.estimator).toBe("given");
  ["p_bar", "ucl", "lcl"].forEach((name, i) => {
    juice!.check(`revised_without_15_23.${name}`, lines(retained)[i]!, exact);
    expect(lines(revised)[i]).toBe(lines(retained)[i]);
  });
  juice!.checkAll("revised_without_15_23.signals_all_points_1based", signals(revised, "any"), exact);
  juice!.checkAll("revised_without_15_23.signals_among_retained", signals(retained, "any"), exact);
  juice!.checkAll("published.1.value", lines(revised), printed(4));
  juice!.check("published.2.value", signals(retained, "above")[0]!, exact);
});

const [wafers] = reference("nist_examples.json", ["input", "published.*.decimals"]).filter(
  ({ id }) => id === "nist-6.3.3.2-proportions",
);

test(wafers!.title, () => {
  const counts = wafers!.get<readonly number[]>("input.defectives");
  const n = wafers!.get<number>("input.n");
  const chart = pChart(counts, n);
  wafers!.get<readonly number[]>("input.fractions").forEach((fraction, place) => {
    expect(chart.values.at(place)).toBeCloseTo(fraction, 12);
  });
  wafers!.check("published.0.value", chart.centres.at(0)!, printed(4));
  ["p_bar", "ucl", "lcl"].forEach((name, i) => {
    wafers!.check(`recomputed.${name}`, lines(chart)[i]!, exact);
  });
  wafers!.checkAll("recomputed.above_ucl_1based", signals(chart, "above"), exact);
  wafers!.checkAll("recomputed.below_lcl_1based", signals(chart, "below"), exact);

  // The same samples as pieces, not shares.
  const np = drawNp(counted(counts, n), usualDesign({ from: 0, to: counts.length })).charts[0]!;
  expect(lines(np).map((line) => line / n)).toEqual(lines(chart).map((line) => expect.closeTo(line, 12)));
  expect(signals(np, "any")).toEqual(signals(chart, "any"));
});

test("series/ishikawa_ccpn.csv, np chart of 25 samples of 150: limits by the formula, by hand", () => {
  const counts = seriesColumn("ishikawa_ccpn", "defectives");
  const np = drawNp(counted(counts, seriesColumn("ishikawa_ccpn", "n")), usualDesign({ from: 0, to: counts.length }));
  const total = counts.reduce((sum, count) => sum + count, 0);
  const mean = total / counts.length;
  const half = 3 * Math.sqrt(mean * (1 - mean / 150));
  expect(lines(np.charts[0]!)).toEqual([mean, mean + half, Math.max(0, mean - half)].map((x) => expect.closeTo(x, 10)));
});
