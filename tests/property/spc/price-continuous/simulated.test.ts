import { expect, test } from "vitest";
import { cusumStage } from "../../../../spc/charts/cusum.ts";
import type { CusumScheme } from "../../../../spc/charts/cusum-sums.ts";
import { ewmaStage } from "../../../../spc/charts/ewma.ts";
import type { EwmaScheme } from "../../../../spc/charts/ewma-state.ts";
import { ewmaVariance, independent } from "../../../../spc/charts/ewma-width.ts";
import { drawAveragesWithS } from "../../../../spc/drawn/averages-s.ts";
import { drawIndividuals } from "../../../../spc/drawn/individuals.ts";
import { usualDesign } from "../../../../spc/model/chart-design.ts";
import type { DrawnChart } from "../../../../spc/model/drawn-chart.ts";
import { verdictAt } from "../../../../spc/model/drawn-chart.ts";
import { ar1RunLength } from "../../../../spc/price/ar1-run-length.ts";
import { cusumOneSidedRunLength, cusumRunLength } from "../../../../spc/price/cusum-run-length.ts";
import { ewmaRunLength } from "../../../../spc/price/ewma-run-length.ts";
import { ewmaOneSidedRunLength } from "../../../../spc/price/ewma-run-length-one-sided.ts";
import { ewmaRunLengthQuantile } from "../../../../spc/price/ewma-run-length-quantile.ts";
import { shewhartRunLength } from "../../../../spc/price/shewhart-run-length.ts";
import { normals } from "../seeded.ts";

/** Average, deviation and the run lengths themselves, of charts that start anew after each signal. */
function simulate(trials: number, oneRun: () => number): { mean: number; deviation: number; runs: Float64Array } {
  const runs = new Float64Array(trials).map(oneRun);
  const mean = runs.reduce((sum, run) => sum + run, 0) / trials;
  const squares = runs.reduce((sum, run) => sum + (run - mean) ** 2, 0);
  return { mean, deviation: Math.sqrt(squares / (trials - 1)), runs };
}

function agrees(found: { mean: number; deviation: number }, trials: number, exact: number): void {
  expect(Math.abs(found.mean - exact)).toBeLessThan((4 * found.deviation) / Math.sqrt(trials));
}

const ewma: EwmaScheme = {
  centre: 0,
  sigma: 1,
  alike: true,
  lambda: 0.2,
  width: 2.86,
  asymptotic: false,
  headStart: null,
  dependence: independent,
};

/** One run of the live chart, from its start to its first signal. */
function ewmaRun(next: () => number, scheme: EwmaScheme, shift = 0): number {
  const stage = ewmaStage(scheme);
  let state = stage.initial;
  for (let t = 1; ; t += 1) {
    const step = stage.step(state, { subgroup: t, atMs: t, value: next() + shift, size: 1 });
    if (step.out[0]!.verdict !== "within") return t;
    state = step.state;
  }
}

const cusum: CusumScheme = { centre: 0, sigma: 1, k: 0.5, h: 4.77, headStart: 0, of: "location", shewhart: null };

function cusumRun(next: () => number, scheme: CusumScheme, shift = 0, sides = 2): number {
  const stage = cusumStage(scheme);
  let state = stage.initial;
  for (let t = 1; ; t += 1) {
    const step = stage.step(state, { subgroup: t, atMs: t, value: next() + shift, size: 1 });
    const { upper, lower } = step.out[0]!;
    if (upper.verdict !== "within" || (sides === 2 && lower.verdict !== "within")) return t;
    state = step.state;
  }
}

test("the default EWMA chart in control: 8,000 runs of the live chart against the exact run length", () => {
  const next = normals(20260101);
  const found = simulate(8000, () => ewmaRun(next, ewma));
  const exact = ewmaRunLength({ lambda: 0.2, width: 2.86, limits: "exact" });
  agrees(found, 8000, exact.average);
  expect(found.deviation / exact.deviation).toBeCloseTo(1, 1);
});

test("the default CUSUM chart in control: 8,000 runs of the live chart against the exact run length", () => {
  const next = normals(20260102);
  agrees(
    simulate(8000, () => cusumRun(next, cusum)),
    8000,
    cusumRunLength({ k: 0.5, h: 4.77 }),
  );
});

/** How many points of a chart that remembers nothing lie beyond its limits. */
function beyond(chart: DrawnChart): number {
  let count = 0;
  for (let i = 0; i < chart.values.length; i += 1) if (verdictAt(chart, i) !== "within") count += 1;
  return count;
}

test("individuals and averages in control: as many points beyond the limits as their exact run length says", () => {
  const next = normals(20260103);
  const n = 1_600_000;
  const values = new Float64Array(n).map(() => next());
  for (const size of [1, 4]) {
    const starts = Uint32Array.from({ length: n / size + 1 }, (_, i) => i * size);
    const design = { ...usualDesign({ from: 0, to: 30 }), centre: 0, sigma: 1 };
    const drawn = (size === 1 ? drawIndividuals : drawAveragesWithS)({ values, starts, anew: [] }, design);
    const expected = n / size / shewhartRunLength(3);
    expect(Math.abs(beyond(drawn.charts[0]!) - expected)).toBeLessThan(4 * Math.sqrt(expected));
  }
});

test("out of control: head starts, spread and quantiles of the run length", () => {
  const next = normals(20260104);
  const trials = 8000;
  const settled = simulate(trials, () => ewmaRun(next, { ...ewma, asymptotic: true }, 1));
  const exact = ewmaRunLength({ lambda: 0.2, width: 2.86, limits: "asymptotic" }, 1);
  agrees(settled, trials, exact.average);
  expect(Math.abs(settled.deviation / exact.deviation - 1)).toBeLessThan(0.06);
  for (const share of [0.5, 0.9, 0.99]) {
    const within = ewmaRunLengthQuantile(0.2, 2.86, share, 1);
    const band = 4 * Math.sqrt((share * (1 - share)) / trials);
    expect(settled.runs.filter((run) => run <= within).length / trials).toBeGreaterThan(share - band);
    expect(settled.runs.filter((run) => run < within).length / trials).toBeLessThan(share + band);
  }
  const fast = { ...ewma, headStart: 0.5 };
  const fastExact = ewmaRunLength({ lambda: 0.2, width: 2.86, limits: "exact", headStart: 0.5 }, 1);
  agrees(
    simulate(trials, () => ewmaRun(next, fast, 1)),
    trials,
    fastExact.average,
  );
  const started = { k: 0.5, h: 4.77, headStart: 2.385 };
  agrees(
    simulate(trials, () => cusumRun(next, { ...cusum, headStart: 2.385 }, 1)),
    trials,
    cusumRunLength(started, 1),
  );
  const oneSided = simulate(trials, () => cusumRun(next, { ...cusum, headStart: 2.385 }, 0.5, 1));
  const oneSidedExact = cusumOneSidedRunLength(started, 0.5);
  agrees(oneSided, trials, oneSidedExact.average);
  expect(Math.abs(oneSided.deviation / oneSidedExact.deviation - 1)).toBeLessThan(0.06);
});

test("an EWMA that is held at the centre, and dependent individuals, by plain loops", () => {
  const next = normals(20260105);
  const trials = 4000;
  const limit = 2.5 * Math.sqrt(ewmaVariance(0.2));
  const held = simulate(trials, () => {
    let z = 0;
    for (let t = 1; ; t += 1) {
      z = Math.max(0, 0.8 * z + 0.2 * (next() + 0.3));
      if (z > limit) return t;
    }
  });
  agrees(held, trials, ewmaOneSidedRunLength(0.2, 2.5, 0.3));
  const phi = 0.7;
  const dependent = simulate(trials, () => {
    let x = next();
    for (let t = 1; ; t += 1) {
      if (Math.abs(x) > 2) return t;
      x = phi * x + Math.sqrt(1 - phi * phi) * next();
    }
  });
  agrees(dependent, trials, ar1RunLength(phi, 2));
});
