import { expect, test } from "vitest";
import { cusumStage } from "../../../../spc/charts/cusum.ts";
import { scaleScore } from "../../../../spc/charts/cusum-scale.ts";
import { cusumShift } from "../../../../spc/charts/cusum-shift.ts";
import type { CusumScheme } from "../../../../spc/charts/cusum-sums.ts";
import { checkCusum, cusumStart } from "../../../../spc/charts/cusum-sums.ts";
import { drawCusum } from "../../../../spc/drawn/cusum.ts";
import { cusumShiftAt } from "../../../../spc/drawn/cusum-follow.ts";
import { cumulativeDeviation } from "../../../../spc/drawn/cusum-plain.ts";
import { usualDesign } from "../../../../spc/model/chart-design.ts";
import { columnFrom } from "../../../../spc/model/column.ts";
import { verdictAt } from "../../../../spc/model/drawn-chart.ts";
import { singles, subgroups } from "../../../../spc/model/grouped.ts";
import { advance } from "../../../../spc/model/stage.ts";
import { normals } from "../../../property/spc/seeded.ts";
import { drawnValues, faults } from "./series.ts";

const scheme: CusumScheme = { centre: 0, sigma: 1, k: 0.5, h: 4, headStart: 0, of: "location", shewhart: null };
const design = (n: number) => ({ ...usualDesign({ from: 0, to: n }), centre: 0, sigma: 1 });
const run = (values: readonly (number | null)[], own = scheme) =>
  advance(
    cusumStage(own),
    values.map((value, i) => ({ subgroup: i, atMs: i, value, size: 1 })),
  );

test("a sum on its limit is no signal, and one beyond it is", () => {
  const { charts } = drawCusum(singles([2.5, 2.5, 0.75]), design(3), { h: 4 });
  expect(drawnValues(charts[0]!)).toEqual([2, 4, 4.25]);
  expect([0, 1, 2].map((i) => verdictAt(charts[0]!, i))).toEqual(["within", "within", "above"]);
  expect(charts.map(({ kind }) => kind)).toEqual(["cusum-upper", "cusum-lower", "moving-range"]);
  expect(charts[0]!.lower.at(0)).toBeNull();
});

test("a missing point holds both sums, and so does a gap", () => {
  const { out } = run([2, null, 2]);
  expect(out.map(({ upper }) => upper.value)).toEqual([1.5, null, 3]);
  expect(out[1]!.upper.verdict).toBe("not-evaluable");
  const drawn = drawCusum({ ...singles([2, 2]), anew: [1] }, design(2));
  expect(drawnValues(drawn.charts[0]!)).toEqual([1.5, 3]);
});

test("a head start begins both sums at h / 2, and they come back to it after a correction", () => {
  const { charts } = drawCusum(singles([1, 0, 1]), design(3), { h: 4, headStart: 2, corrections: [2] });
  expect(drawnValues(charts[0]!)).toEqual([2.5, 2, 2.5]);
  expect(drawnValues(charts[1]!)).toEqual([0.5, 0, 0.5]);
});

test("the shift lies after the last zero, and its size is what the sum grew by, the head start taken off", () => {
  const values = [-1, 0.5, 3, 2, 2.5, 3];
  const { state } = run(values);
  expect(cusumShift(scheme, "upper", state)).toEqual({ since: 2, points: 4, size: 10.5 / 4, mean: 10.5 / 4 });
  expect(cusumShift(scheme, "lower", state)).toBeNull();
  const started = { ...scheme, headStart: 2 };
  const fast = cusumShift(started, "lower", run([-2, -1, -3], started).state)!;
  expect(fast).toEqual({ since: 0, points: 3, size: -2, mean: -2 });
  const means = columnFrom(values);
  expect(cusumShiftAt(means, singles(values), scheme, "upper", 3)).toEqual({
    since: 2,
    points: 2,
    size: 2.5,
    mean: 2.5,
  });
  expect(cusumShiftAt(means, singles(values), scheme, "upper", 1)).toBeNull();
  expect(cusumShiftAt(means, singles(values), scheme, "upper", 3, [3])!.since).toBe(3);
  // A correction before a place without a point ends what came before as well.
  expect(cusumShiftAt(columnFrom([3, null]), singles([3, null]), scheme, "upper", 1, [1])).toBeNull();
  expect(() => cusumShiftAt(means, singles(values), scheme, "upper", 6)).toThrow(RangeError);
});

test("with several sizes the mean of a shift is weighed by them", () => {
  const lists = [[1, 1, 1, 1], [1], [1, 1, 1, 1, 1, 1, 1, 1, 1]];
  const { scheme: frozen } = drawCusum(subgroups(lists), { ...design(3), centre: 0, sigma: 1 });
  const shift = cusumShiftAt(columnFrom([1, 1, 1]), subgroups(lists), frozen!, "upper", 2)!;
  expect(shift.mean).toBeCloseTo(1, 12);
  expect(shift.size).toBeCloseTo((2 + 1 + 3) / 3, 12);
});

test("k and h in the unit of the data need subgroups of one size", () => {
  const lists = [
    [1, 2],
    [2, 3],
    [1, 3],
  ];
  const { charts, scheme: frozen } = drawCusum(subgroups(lists), design(3), { k: 0.5, h: 3, units: "data" });
  expect(frozen!.k).toBeCloseTo(0.5 * Math.SQRT2, 12);
  expect(charts[0]!.upper.at(0)).toBeCloseTo(3 * Math.SQRT2, 12);
  const unequal = drawCusum(subgroups([[1, 2], [2], [1, 3]]), design(3), { k: 0.5, h: 3, units: "data" });
  expect(unequal.charts[0]!.refusal?.code).toBe("unequal-sizes");
  expect(unequal.scheme).toBeNull();
  expect(unequal.charts.flatMap(faults)).toEqual([]);
});

test("a limit for single points has a chart of its own", () => {
  const { charts } = drawCusum(singles([0, 3.6, -3.6]), design(3), { shewhart: 3.5 });
  const single = charts.find(({ kind }) => kind === "standardised")!;
  expect([0, 1, 2].map((i) => verdictAt(single, i))).toEqual(["within", "above", "below"]);
  const { out } = run([0, 3.6], { ...scheme, shewhart: 3.5 });
  expect(out.map((point) => point.single)).toEqual(["within", "above"]);
  expect(run([9]).out[0]!.single).toBe("not-evaluable");
});

test("scale scores have mean 0 and sigma 1 in control, and their sum shows a spread that grows", () => {
  const next = normals(4);
  const scores = Array.from({ length: 100_000 }, () => scaleScore(next()));
  const mean = scores.reduce((sum, y) => sum + y, 0) / scores.length;
  const variance = scores.reduce((sum, y) => sum + y * y, 0) / scores.length;
  expect(Math.abs(mean)).toBeLessThan(4 / Math.sqrt(scores.length));
  expect(variance).toBeCloseTo(1, 1);
  // Hawkins 1981 prints (sqrt|z| - 0.822) / 0.349.
  expect(scaleScore(4)).toBeCloseTo((2 - 0.822) / 0.349, 2);
  const wide = Array.from({ length: 60 }, () => 2.5 * next());
  const { charts } = drawCusum(singles(wide), design(60), { of: "scale" });
  expect(charts[0]!.kind).toBe("cusum-scale-upper");
  expect(wide.some((_, i) => verdictAt(charts[0]!, i) === "above")).toBe(true);
  expect(cusumShift({ ...scheme, of: "scale" }, "upper", run([4], { ...scheme, of: "scale" }).state)).toBeNull();
});

test("without limits there are neither lines nor points, and the place is kept", () => {
  for (const values of [[], [1], [5, 5, 5]]) {
    const drawn = drawCusum(singles(values), usualDesign({ from: 0, to: values.length }), { shewhart: 3.5 });
    expect(drawn.charts[0]!.refusal).not.toBeNull();
    expect(drawn.charts.every((chart) => chart.values.length === values.length)).toBe(true);
    expect(drawn.charts.flatMap(faults)).toEqual([]);
  }
});

test("the plain sum skips what is missing and loses no digits over a million values", () => {
  const sums = cumulativeDeviation(columnFrom([1, null, 3]), 0.5);
  expect([0, 1, 2].map((i) => sums.at(i))).toEqual([0.5, null, 3]);
  const many = cumulativeDeviation(columnFrom(Array.from({ length: 1e5 }, () => 0.1)), 0);
  expect(many.at(1e5 - 1)).toBe(1e4);
  expect(() => cumulativeDeviation(columnFrom([1]), Number.NaN)).toThrow(RangeError);
});

test("what cannot be meant is a defect in the caller", () => {
  for (const wrong of [
    { centre: Number.NaN },
    { sigma: 0 },
    { k: -1 },
    { h: 0 },
    { h: Number.POSITIVE_INFINITY },
    { headStart: 4 },
    { shewhart: 0 },
  ]) {
    expect(() => checkCusum({ ...scheme, ...wrong })).toThrow(RangeError);
  }
  expect(() => run([Number.POSITIVE_INFINITY])).toThrow(RangeError);
  expect(() => drawCusum(singles([]), usualDesign({ from: 0, to: 0 }), { h: -1 })).toThrow(RangeError);
  expect(cusumStart({ ...scheme, headStart: 1 }).upper.value).toBe(1);
});
