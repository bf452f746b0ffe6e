import { expect, test } from "vitest";
import {
  countThere,
  drawnChart,
  evenLines,
  lineBySize,
  provenanceOf,
  refusedChart,
  refusedCharts,
  seriesOf,
  withLines,
} from "../../../../spc/drawn/lines.ts";
import { usualDesign } from "../../../../spc/model/chart-design.ts";
import { columnFrom } from "../../../../spc/model/column.ts";
import { verdictAt } from "../../../../spc/model/drawn-chart.ts";
import { ok, refuse } from "../../../../spc/model/outcome.ts";

const values = columnFrom([1, 2, null, 9]);
const series = { kind: "individuals", values, patterns: "all", anew: [] } as const;
const design = usualDesign({ from: 0, to: 3 });

test("a chart with lines is judged by them, and an empty place by nothing", () => {
  const chart = withLines(series, provenanceOf(design, "given", 2), evenLines(2, 1, 3));
  expect([0, 1, 2, 3].map((place) => verdictAt(chart, place))).toEqual(["within", "within", "not-evaluable", "above"]);
  expect(chart.provenance).toEqual({ estimator: "given", from: 0, to: 3, n: 2, k: 3 });
  expect(chart.refusal).toBeNull();
  expect([chart.lower.at(3), chart.centres.at(3), chart.upper.at(3), chart.sigmas.at(3)]).toEqual([-1, 2, 5, 1]);
});

test("a refused chart keeps its points and judges none", () => {
  const refusal = { code: "zero-variation", detail: "all values are equal" };
  const chart = refusedChart(series, design, refusal);
  expect(chart.values.at(3)).toBe(9);
  expect([0, 1, 2, 3].map((place) => verdictAt(chart, place))).toEqual(Array(4).fill("not-evaluable"));
  expect(chart.provenance).toEqual({ estimator: "none", from: 0, to: 3, n: 2, k: 3 });
  const all = refusedCharts([series, { ...series, kind: "moving-range" }], design, refusal);
  expect(all.charts.map(({ kind }) => kind)).toEqual(["individuals", "moving-range"]);
  expect([all.sigmaWithin, all.dfWithin, all.cautions]).toEqual([null, null, []]);
});

test("lines may move from place to place, and end where the statistic ends", () => {
  const lines = evenLines(Float64Array.of(1, 2), Float64Array.of(1, 0.5), 3, 0);
  expect(lines.lower).toEqual(Float64Array.of(0, 0.5));
  expect(lines.upper).toEqual(Float64Array.of(4, 3.5));
  expect(evenLines(1, Float64Array.of(1, 2), 1).lower).toEqual(Float64Array.of(0, -1));
  expect(evenLines(Float64Array.of(1, 2), 1, 1).upper).toEqual(Float64Array.of(2, 3));
});

test("a line by size is one number when all subgroups have one size, empty ones apart", () => {
  expect(lineBySize(Uint32Array.of(0, 3, 3, 6), 1, (n) => 10 * n)).toBe(30);
  expect(lineBySize(Uint32Array.of(0, 3, 3, 5, 6, 9), 2, (n) => 10 * n)).toEqual(
    Float64Array.of(30, Number.NaN, 20, Number.NaN, 30),
  );
  expect(lineBySize(Uint32Array.of(0, 1, 2), 2, (n) => n)).toBeNaN();
});

test("points that are there are counted", () => {
  expect(countThere(values, { from: 1, to: 4 })).toBe(2);
  expect(countThere({ length: 4, raw: 7, at: () => 7 }, { from: 1, to: 4 })).toBe(3);
  expect(countThere({ length: 4, raw: Number.NaN, at: () => null }, { from: 1, to: 4 })).toBe(0);
});

test("a chart is drawn where there are lines, and refused where there are none", () => {
  const points = seriesOf("range", Float64Array.of(1, Number.NaN), "limit", [1]);
  expect([points.values.at(0), points.values.at(1), points.patterns, points.anew]).toEqual([1, null, "limit", [1]]);
  const whole = usualDesign({ from: 0, to: 2 });
  const drawn = drawnChart(points, whole, "mean-range", 1, ok(evenLines(1, 1, 3, 0)));
  expect([drawn.refusal, drawn.provenance.estimator, drawn.lower.at(0)]).toEqual([null, "mean-range", 0]);
  const refused = drawnChart(points, whole, "mean-range", 1, refuse("too-few", "a subgroup of one has no spread"));
  expect([refused.refusal?.code, refused.provenance.estimator, refused.upper.at(0)]).toEqual(["too-few", "none", null]);
});
