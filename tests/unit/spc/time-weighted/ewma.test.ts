import { expect, test } from "vitest";
import { ewmaStage } from "../../../../spc/charts/ewma.ts";
import type { EwmaScheme } from "../../../../spc/charts/ewma-state.ts";
import { checkEwma } from "../../../../spc/charts/ewma-state.ts";
import { ewmaVariance, independent } from "../../../../spc/charts/ewma-width.ts";
import { drawEwma } from "../../../../spc/drawn/ewma.ts";
import { usualDesign } from "../../../../spc/model/chart-design.ts";
import { verdictAt } from "../../../../spc/model/drawn-chart.ts";
import { singles, subgroups } from "../../../../spc/model/grouped.ts";
import { advance } from "../../../../spc/model/stage.ts";
import { dependentSeries, drawnValues, faults } from "./series.ts";

const scheme: EwmaScheme = {
  centre: 10,
  sigma: 2,
  alike: true,
  lambda: 0.2,
  width: 3,
  asymptotic: false,
  headStart: null,
  dependence: independent,
};
const whole = (n: number) => usualDesign({ from: 0, to: n });
const given = (n: number) => ({ ...whole(n), centre: 10, sigma: 2 });
const run = (values: readonly (number | null)[], own = scheme) =>
  advance(
    ewmaStage(own),
    values.map((value, i) => ({ subgroup: i, atMs: i * 1000, value, size: 1 })),
  ).out;

test("a missing point holds Z and does not let the limits widen", () => {
  const [first, hole, next] = run([12, null, 12]);
  const plain = run([12, 12]);
  expect(hole).toEqual({ subgroup: 1, value: null, centre: 10, lower: null, upper: null, verdict: "not-evaluable" });
  expect(first).toEqual(plain[0]);
  expect(next).toEqual({ ...plain[1], subgroup: 2 });
});

test("a gap holds Z as well: memory never ends by itself", () => {
  const values = [12, 13, 12, 14, 13];
  const data = { ...singles(values), anew: [3] };
  const { charts } = drawEwma(data, given(5));
  expect(drawnValues(charts[0]!)).toEqual(drawnValues(drawEwma(singles(values), given(5)).charts[0]!));
  expect(charts[0]!.anew).toEqual([]);
  expect(charts[1]!.values.at(3)).toBeNull();
});

test("after a correction Z and its limits begin anew, and only then", () => {
  const values = [12, 13, 14, 10, 11];
  const chart = drawEwma(singles(values), given(5), { corrections: [3] }).charts[0]!;
  const anew = drawEwma(singles([10, 11]), given(2)).charts[0]!;
  expect([3, 4].map((i) => chart.values.at(i))).toEqual(drawnValues(anew));
  expect([3, 4].map((i) => chart.upper.at(i))).toEqual([0, 1].map((i) => anew.upper.at(i)));
  const stage = ewmaStage(scheme);
  const input = { subgroup: 3, atMs: 3, value: 10, size: 1 };
  const before = advance(stage, [{ ...input, value: 14 }]).state;
  expect(stage.step(before, { ...input, corrected: true }).state).toEqual(stage.step(stage.initial, input).state);
});

test("a head start narrows the first limits to its share", () => {
  const values = Array.from({ length: 25 }, () => 10);
  const plain = drawEwma(singles(values), given(25)).charts[0]!;
  const fast = drawEwma(singles(values), given(25), { headStart: 0.5 }).charts[0]!;
  const share = (i: number): number => (fast.upper.at(i)! - 10) / (plain.upper.at(i)! - 10);
  expect(share(0)).toBeCloseTo(0.5, 12);
  expect(share(19)).toBeCloseTo(0.99, 12);
});

test("subgroups of several sizes count by their sizes, and the spread chart is that of standard deviations", () => {
  const lists = [[1, 2, 3], [2, 4], [], [1, 2, 2, 3], [3]];
  const design = { ...whole(5), centre: 2, sigma: 1 };
  const { charts } = drawEwma(subgroups(lists), design, { lambda: 0.3, width: 3 });
  expect(charts.map(({ kind }) => kind)).toEqual(["ewma", "standard-deviation"]);
  let v = 0;
  expect(charts[0]!.upper.at(2)).toBeNull();
  lists.forEach((list, i) => {
    if (list.length === 0) return;
    v = 0.49 * v + 0.09 / list.length;
    expect(charts[0]!.upper.at(i)).toBeCloseTo(2 + 3 * Math.sqrt(v), 12);
    expect(charts[0]!.sigmas.at(i)).toBeCloseTo(Math.sqrt(v), 12);
  });
  const settled = drawEwma(subgroups(lists), design, { lambda: 0.3, width: 3, asymptotic: true }).charts[0]!;
  expect(settled.upper.at(1)).toBeCloseTo(2 + 3 * Math.sqrt(ewmaVariance(0.3) / 2), 12);
});

test("the basis overall widens the limits by the dependent share, and the scheme states it", () => {
  const values = dependentSeries(400, 0.8, 0.7, 5);
  const chart = drawEwma(singles(values), whole(400));
  const overall = drawEwma(singles(values), { ...whole(400), basis: "overall" }, { asymptotic: true });
  const { dependence, sigma } = overall.scheme!;
  expect(dependence.share).toBeGreaterThan(0.4);
  expect(dependence.phi).toBeGreaterThan(0.5);
  const half = overall.charts[0]!.upper.at(0)! - overall.scheme!.centre;
  expect(half).toBeCloseTo(2.86 * sigma * Math.sqrt(ewmaVariance(0.2, dependence)), 12);
  const count = (drawn: typeof chart) => values.filter((_, i) => verdictAt(drawn.charts[0]!, i) !== "within").length;
  expect(count(chart)).toBeGreaterThan(40);
  expect(count(overall)).toBeLessThan(count(chart) / 5);
  expect(chart.cautions.map(({ code }) => code)).toContain("autocorrelated");
  expect(overall.cautions.map(({ code }) => code)).toContain("widened-for-dependence");
  const frozen = drawEwma(singles(values), { ...given(400), basis: "overall" }, { dependence });
  expect(frozen.scheme!.dependence).toEqual(dependence);
});

test("exact limits under dependence settle at Schmid's formula", () => {
  const dependence = { share: 0.6, phi: 0.7 };
  const points = run(
    Array.from({ length: 300 }, () => 10),
    { ...scheme, dependence },
  );
  expect(points.at(-1)!.upper! - 10).toBeCloseTo(3 * 2 * Math.sqrt(ewmaVariance(0.2, dependence)), 10);
  // The first point has no neighbour to depend on.
  expect(points[0]!.upper! - 10).toBeCloseTo(3 * 2 * 0.2, 12);
});

test("averages on the basis overall are judged by how they varied themselves", () => {
  const levels = dependentSeries(200, 0.7, 1, 9);
  const noise = dependentSeries(800, 0, 0, 10);
  const lists = levels.map((level, i) => noise.slice(4 * i, 4 * i + 4).map((x) => level + 0.3 * x));
  const drawn = drawEwma(subgroups(lists), { ...whole(200), basis: "overall" });
  expect(drawn.scheme!.alike).toBe(true);
  expect(drawn.scheme!.sigma).toBeGreaterThan(0.7);
  expect(drawn.charts[0]!.refusal).toBeNull();
});

test("without limits the points stay and are judged by nothing", () => {
  for (const values of [[], [1], [5, 5, 5, 5]]) {
    const { charts, scheme: frozen } = drawEwma(singles(values), whole(values.length));
    expect(charts[0]!.refusal?.code).toBe(values.length < 2 ? "too-few" : "zero-variation");
    expect(frozen).toBeNull();
    expect(drawnValues(charts[0]!)).toEqual(values);
    expect(values.every((_, i) => verdictAt(charts[0]!, i) === "not-evaluable")).toBe(true);
    expect(charts.flatMap(faults)).toEqual([]);
  }
  expect(drawEwma(singles([0, -5e-324]), whole(2)).charts[0]!.refusal?.code).toBe("not-finite");
  const few = drawEwma(singles([1, 2, 3]), { ...whole(3), basis: "overall" });
  expect(few.charts[0]!.refusal?.code).toBe("too-few");
});

test("values far from their spread keep their digits", () => {
  const drawn = drawEwma(singles([0.1, 0.3, 0.2, 0.1].map((x) => 1e7 + x)), { ...whole(4), centre: 1e7, sigma: 0.1 });
  expect(drawn.charts[0]!.values.at(0)! - 1e7).toBeCloseTo(0.02, 8);
});

test("what cannot be meant is a defect in the caller", () => {
  for (const wrong of [
    { centre: Number.NaN },
    { sigma: 0 },
    { lambda: 0 },
    { lambda: 1.5 },
    { width: Number.NaN },
    { headStart: 1 },
    { dependence: { share: 2, phi: 0 } },
    { dependence: { share: 1, phi: 1 } },
  ]) {
    expect(() => checkEwma({ ...scheme, ...wrong })).toThrow(RangeError);
  }
  expect(() => run([Number.NaN])).toThrow(RangeError);
  expect(() => drawEwma(singles([1, 2]), whole(2), { lambda: 2 })).toThrow(RangeError);
  expect(() => drawEwma(singles([1, 2]), whole(2), { corrections: [1, 1] })).toThrow(RangeError);
  expect(() => drawEwma(singles([1, 2]), whole(2), { corrections: [3] })).toThrow(RangeError);
  expect(() => drawEwma(singles([1, 2]), whole(3))).toThrow(RangeError);
  expect(() => drawEwma(singles([1, Number.NaN]), given(2))).toThrow(RangeError);
});
