import { expect, test } from "vitest";
import { drawG, geometricQuantile } from "../../../../spc/drawn/g.ts";
import { drawT, exponentialQuantile, nelsonTransform } from "../../../../spc/drawn/t.ts";
import { normalQuantile } from "../../../../spc/library/normal.ts";
import type { ChartDesign } from "../../../../spc/model/chart-design.ts";
import { usualDesign } from "../../../../spc/model/chart-design.ts";
import { singles } from "../../../../spc/model/grouped.ts";
import { estimateLocation } from "../../../../spc/sigma/location.ts";
import { reference } from "../../ledger/reference.ts";
import { absolute, either, relative } from "../../ledger/tolerance.ts";

const exact = relative(1e-12);
/** As many sigma as give the chance of the record, 0.0027, which is not quite that of three. */
const kFor = (alpha: number): number => -normalQuantile(alpha / 2);
const records = reference("rare_shortrun_misc.json", ["input", "recomputed.*.alpha"]);
const g = records.find(({ id }) => id === "g-chart")!;
const t = records.find(({ id }) => id === "t-chart")!;

const designFor = (n: number, more: Partial<ChartDesign> = {}): ChartDesign => ({
  ...usualDesign({ from: 0, to: n }),
  ...more,
});

test(g.title, () => {
  const counts = g.get<readonly number[]>("input.counts_between_events");
  const chart = drawG(singles(counts), designFor(counts.length)).charts[0]!;
  const mean = chart.centres.at(0)!;
  g.check("recomputed.g_bar", mean, exact);
  g.check("recomputed.p_hat", 1 / (mean + 1), exact);
  g.check("recomputed.kaminsky_3sigma.cl", mean, exact);
  g.check("recomputed.kaminsky_3sigma.ucl", chart.upper.at(0)!, exact);
  g.check("recomputed.kaminsky_3sigma.lcl", chart.lower.at(0)!, exact);

  const alpha = g.get<number>("recomputed.probability_limits.alpha");
  const design = designFor(counts.length, { limits: "exact", k: kFor(alpha) });
  const drawn = drawG(singles(counts), design).charts[0]!;
  const p = 1 / (mean + 1);
  g.check("recomputed.probability_limits.lower", geometricQuantile(alpha / 2, p), exact);
  g.check("recomputed.probability_limits.median", drawn.centres.at(0)!, exact);
  g.check("recomputed.probability_limits.upper", geometricQuantile(1 - alpha / 2, p), exact);
  // Units are whole: the limits are the whole numbers that keep the chance at most at alpha / 2.
  expect(drawn.upper.at(0)).toBe(371);
  expect(drawn.lower.at(0)).toBe(0);
  expect((1 - p) ** 372).toBeLessThan(alpha / 2);
  expect((1 - p) ** 371).toBeGreaterThan(alpha / 2);
});

test(t.title, () => {
  const times = t.get<readonly number[]>("input.times");
  t.checkAll("recomputed.nelson_transform_y", times.map(nelsonTransform), exact);
  const transformed = estimateLocation(singles(times.map(nelsonTransform)), designFor(times.length));
  if (!transformed.ok) throw new Error(transformed.refusal.detail);
  const { centre, sigma } = transformed.value;
  t.check("recomputed.cl_y", centre, exact);
  t.check("recomputed.sigma_y", sigma, exact);

  const chart = drawT(singles(times), designFor(times.length)).charts[0]!;
  t.check("recomputed.ucl_y", nelsonTransform(chart.upper.at(0)!), exact);
  t.check("recomputed.lcl_y", nelsonTransform(chart.lower.at(0)!), exact);
  t.check("recomputed.ucl_t", chart.upper.at(0)!, exact);
  t.check("recomputed.cl_t", chart.centres.at(0)!, exact);
  t.check("recomputed.lcl_t", chart.lower.at(0)!, exact);

  const alpha = t.get<number>("recomputed.exponential_probability_limits.alpha");
  const design = designFor(times.length, { limits: "exact", k: kFor(alpha) });
  const drawn = drawT(singles(times), design).charts[0]!;
  // The library's normal keeps about ten digits of so small a tail.
  const through = either(relative(1e-9), absolute(1e-12));
  t.check("recomputed.exponential_probability_limits.lower", drawn.lower.at(0)!, through);
  t.check("recomputed.exponential_probability_limits.median", drawn.centres.at(0)!, exact);
  t.check("recomputed.exponential_probability_limits.upper", drawn.upper.at(0)!, through);
  expect(exponentialQuantile(alpha / 2, 14.125)).toBeCloseTo(drawn.lower.at(0)!, 10);
});
