import { expect, test } from "vitest";
import { individualsLimits, linesAround } from "../../../../spc/charts/individuals.ts";
import { movingRangeLimits, movingRangeMonitor } from "../../../../spc/charts/moving-range.ts";
import { movingRangeSigma } from "../../../../spc/charts/moving-range-sigma.ts";
import { proposeLimits } from "../../../../spc/charts/propose-limits.ts";
import { advance } from "../../../../spc/model/stage.ts";
import { mean } from "../../../../spc/stats/moments.ts";
import { normals } from "../../../property/spc/seeded.ts";
import { baselineOf, granted } from "../../../unit/spc/press-fixtures.ts";
import { publishedRecords } from "../../ledger/published.ts";

/** NIST/SEMATECH e-Handbook 6.3.2.2, flow rate of ten batches, and what it prints (read in two transcriptions). */
const flowRate = [49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6, 52.1];
const printed = { mean: 50.81, meanRange: 1.8778, upper: 55.8041, lower: 45.8159 };
const printedRanges = [2.0, 2.3, 1.4, 3.5, 3.4, 1.4, 0.2, 1.2, 1.5];

const plotted = flowRate.map((value, i) => ({ subgroup: i, atMs: i * 1000, value }));
const ranges = advance(movingRangeMonitor(null, { everyMs: 1000 }), plotted).out.flatMap(({ value }) => value ?? []);

test("NIST flow rate: the moving ranges are the printed ones", () => {
  expect(ranges).toHaveLength(printedRanges.length);
  for (const [i, range] of ranges.entries()) expect(range).toBeCloseTo(printedRanges[i]!, 10);
});

test("NIST flow rate: mean, mean range and limits are the printed ones", () => {
  const { sigma, meanRange } = movingRangeSigma(ranges);
  const lines = linesAround(mean(flowRate), sigma);
  expect(lines.centre).toBeCloseTo(printed.mean, 10);
  expect(meanRange).toBeCloseTo(printed.meanRange, 4);
  // The handbook divides by 1.128 where d2 is 1.12838: its limits lie 0.0017 farther out.
  expect(Math.abs(lines.upper - printed.upper)).toBeLessThan(0.002);
  expect(Math.abs(lines.lower - printed.lower)).toBeLessThan(0.002);
  const byTheirs = linesAround(lines.centre, meanRange / 1.128);
  expect(byTheirs.upper).toBeCloseTo(printed.upper, 4);
  expect(byTheirs.lower).toBeCloseTo(printed.lower, 4);
});

test("NIST flow rate: ten values are too few for limits in force, and no point lies beyond the printed ones", () => {
  const refused = individualsLimits(baselineOf(flowRate), { everyMs: 1000 });
  expect(refused).toEqual({
    ok: false,
    refusal: { code: "too-few", detail: "25 values are needed, 10 are there", needs: 25, has: 10 },
  });
  expect(flowRate.every((value) => value < printed.upper && value > printed.lower)).toBe(true);
});

test("a chart's lines follow from mean and mean range by E2 and D4 of the handbooks' tables", () => {
  const { E2, D4 } = publishedRecords("constants_exact.json")[0]!.body as { E2: number; D4: number };
  const next = normals(3);
  const values = Array.from({ length: 120 }, () => 0.92 + 0.004 * next());
  const location = granted(individualsLimits(baselineOf(values), { everyMs: 1000 }));
  const spread = granted(movingRangeLimits(baselineOf(values), { everyMs: 1000 }));
  const steps = values.slice(1).map((value, i) => Math.abs(value - values[i]!));
  const meanStep = steps.reduce((sum, step) => sum + step, 0) / steps.length;
  expect((location.upper - location.centre) / meanStep).toBeCloseTo(E2, 9);
  expect((location.centre - location.lower) / meanStep).toBeCloseTo(E2, 9);
  expect(spread.centre).toBeCloseTo(meanStep, 12);
  expect(spread.upper / meanStep).toBeCloseTo(D4, 8);
  expect(spread.lower).toBe(0);
});

test("sigma from moving ranges has 0.605 degrees of freedom a range: by our own simulation, within 4 standard errors", () => {
  const next = normals(11);
  const sigmas: number[] = [];
  const steps = 200;
  for (let trial = 0; trial < 4000; trial += 1) {
    const values = Array.from({ length: steps + 1 }, next);
    sigmas.push(movingRangeSigma(values.slice(1).map((value, i) => Math.abs(value - values[i]!))).sigma);
  }
  const centre = mean(sigmas);
  const variance = mean(sigmas.map((sigma) => (sigma - centre) ** 2));
  expect(Math.abs(centre - 1)).toBeLessThan(4 * Math.sqrt(variance / 4000));
  const df = 1 / (2 * variance);
  const claimed = movingRangeSigma(Array.from({ length: steps }, () => 1)).df;
  expect(claimed).toBe(Math.floor(0.605 * steps));
  expect(Math.abs(df / claimed - 1)).toBeLessThan(4 * Math.sqrt(2 / 4000) + 1 / claimed);
});

test("basis overall takes three overall standard deviations around the same mean", () => {
  const next = normals(5);
  let level = 0;
  const values = Array.from({ length: 150 }, () => {
    level = 0.6 * level + 0.8 * next();
    return 28 + level;
  });
  const request = {
    pair: "individuals",
    subgroups: baselineOf(values),
    everyMs: 1000,
    unit: "%",
    rules: ["beyond-limit"],
  } as const;
  const chart = granted(proposeLimits({ ...request, basis: "chart" }));
  const overall = granted(proposeLimits({ ...request, basis: "overall" }));
  expect(overall.location.centre).toBe(chart.location.centre);
  expect(overall.location.sigma).toBe(chart.diagnostics.sigmaOverall);
  expect(overall.location.upper).toBeCloseTo(overall.location.centre + 3 * overall.location.sigma, 12);
  expect(overall.location.sigma).toBeGreaterThan(1.2 * chart.location.sigma);
  expect(overall.spread).toEqual(chart.spread);
  expect(overall.estimator).toBe("overall");
  expect(chart.diagnostics.cautions).toEqual(
    expect.arrayContaining(["autocorrelated", "overall-basis-recommended", "overall-to-within"]),
  );
});
