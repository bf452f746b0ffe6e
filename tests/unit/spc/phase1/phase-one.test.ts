import { expect, test } from "vitest";
import { drawIndividuals } from "../../../../spc/drawn/individuals.ts";
import { usualDesign } from "../../../../spc/model/chart-design.ts";
import { columnFrom, constantColumn } from "../../../../spc/model/column.ts";
import type { DrawnChart, DrawnCharts } from "../../../../spc/model/drawn-chart.ts";
import type { Grouped } from "../../../../spc/model/grouped.ts";
import { singles, subgroups } from "../../../../spc/model/grouped.ts";
import { levelInWindow } from "../../../../spc/phase1/level-in-window.ts";
import { pointsToLookAt } from "../../../../spc/phase1/look-at.ts";
import { minimumNumbers } from "../../../../spc/phase1/minimum-numbers.ts";
import { phaseOne } from "../../../../spc/phase1/phase-one.ts";
import type { RecordedCause } from "../../../../spc/phase1/recorded-cause.ts";
import { withoutPlaces } from "../../../../spc/phase1/without-places.ts";

/** A chart with the same lines at every place. */
function flat(
  kind: string,
  values: readonly (number | null)[],
  lower: number | null,
  upper: number | null,
): DrawnChart {
  const n = values.length;
  return {
    kind,
    provenance: { estimator: "given", from: 0, to: n, n, k: 3 },
    refusal: null,
    values: columnFrom(values),
    centres: constantColumn(0, n),
    sigmas: constantColumn(1, n),
    lower: constantColumn(lower, n),
    upper: constantColumn(upper, n),
    patterns: "all",
    anew: [],
  };
}

/** An individuals and moving-range pair with limits that get narrower with each place left out. */
function pair(data: Grouped, left: number): DrawnCharts {
  const at = (i: number): number | null =>
    data.starts[i] === data.starts[i + 1] ? null : data.values[data.starts[i]!]!;
  const values = Array.from({ length: data.starts.length - 1 }, (_, i) => at(i));
  const ranges = values.map((value, i) => {
    const before = i === 0 ? null : values[i - 1]!;
    return value === null || before === null ? null : Math.abs(value - before);
  });
  const half = 3 - left * 0.5;
  return {
    charts: [flat("individuals", values, -half, half), flat("moving-range", ranges, null, 6)],
    sigmaWithin: 1,
    dfWithin: 1,
    cautions: [],
  };
}

const values = [0, 1, -1, 5, 0, 1, 2.7, -1, 0, 1, 0, -1];
const draw = (exclude: readonly number[]): DrawnCharts => pair(withoutPlaces(singles(values), exclude), exclude.length);
const cause = (place: number, over: Partial<RecordedCause> = {}): RecordedCause => ({
  place,
  cause: "wrong ladle",
  who: "night shift",
  when: "2026-03-02",
  evidence: "photograph",
  action: "ladles are marked",
  ...over,
});

test("with no cause recorded nothing is left out, whatever signals", () => {
  const study = phaseOne(draw, []);
  expect(study.ok && study.value.revised).toBe(null);
  expect(study.ok && study.value.trial.signals).toEqual([
    { chart: "individuals", place: 3, side: "above", cause: null },
  ]);
});

test("a point with a cause is left out, stays visible, and narrower limits show the next one, which stays", () => {
  const study = phaseOne(draw, [cause(3)]);
  if (!study.ok) throw new Error(study.refusal.detail);
  const { trial, revised, unexplained } = study.value;
  expect(trial.excluded).toEqual([]);
  expect(revised?.excluded).toEqual([3]);
  expect(revised?.signals).toEqual([
    { chart: "individuals", place: 3, side: "above", cause: cause(3) },
    { chart: "individuals", place: 6, side: "above", cause: null },
  ]);
  expect(unexplained.map(({ place }) => place)).toEqual([6]);
  // Its two moving ranges go with it, and none bridges it.
  const ranges = revised!.drawn.charts[1]!.values;
  expect([2, 3, 4, 5].map((place) => ranges.at(place))).toEqual([2, null, null, 1]);
});

test("causes for more than a third of the points: refused, the process is not stable", () => {
  expect(
    phaseOne(
      draw,
      [0, 1, 2, 3].map((place) => cause(place)),
    ).ok,
  ).toBe(true);
  const study = phaseOne(
    draw,
    [0, 1, 2, 3, 4].map((place) => cause(place)),
  );
  expect(study).toMatchObject({ ok: false, refusal: { code: "too-many-excluded", needs: 4, has: 5 } });
});

test.each(["cause", "who", "when", "evidence", "action"])("a cause without its %s excludes nothing", (part) => {
  const study = phaseOne(draw, [cause(3, { [part]: "  " })]);
  expect(study).toMatchObject({ ok: false, refusal: { code: "cause-incomplete" } });
  expect(!study.ok && study.refusal.detail).toContain(part);
});

test("a cause at a place that is none, or two at one place, is a defect", () => {
  for (const place of [-1, 12, 1.5, Number.NaN]) expect(() => phaseOne(draw, [cause(place)])).toThrow(RangeError);
  expect(() => phaseOne(draw, [cause(3), cause(3)])).toThrow(RangeError);
  expect(() => withoutPlaces(singles([1, 2]), [2])).toThrow(RangeError);
});

test("while the spread chart signals without a cause, its signals come first and the limits of location are in doubt", () => {
  const wild = (exclude: readonly number[]): DrawnCharts => {
    const drawn = pair(withoutPlaces(singles([0, 9, 0, 0, 0, 0, 0, 0, 0]), exclude), 0);
    return drawn;
  };
  const study = phaseOne(wild, []);
  if (!study.ok) throw new Error(study.refusal.detail);
  expect(study.value.trial.signals.map(({ chart }) => chart)).toEqual(["moving-range", "moving-range", "individuals"]);
  expect(study.value.cautions.map(({ code }) => code)).toEqual(["spread-signals"]);
});

test("charts without limits signal nothing, and no charts are no study of anything", () => {
  const refused = (): DrawnCharts => ({ ...draw([]), charts: [flat("individuals", values, null, null)] });
  expect(phaseOne(refused, [])).toMatchObject({ ok: true, value: { unexplained: [] } });
});

test("withoutPlaces empties subgroups and keeps their places", () => {
  const data = subgroups([[1, 2], [3, 4], [], [5]]);
  const out = withoutPlaces(data, [1]);
  expect([...out.values]).toEqual([1, 2, 5]);
  expect([...out.starts]).toEqual([0, 2, 2, 2, 3]);
  expect([...withoutPlaces(data, []).values]).toEqual([1, 2, 3, 4, 5]);
});

test("limits are provisional under 20 points or 100 values", () => {
  expect(minimumNumbers(20, 100)).toEqual([]);
  expect(minimumNumbers(20, null)).toEqual([]);
  expect(minimumNumbers(19, 99)[0]).toEqual({
    code: "few-points",
    text: "provisional limits: 19 points, 20 or more are wanted; 99 values, 100 or more are wanted",
  });
  expect(minimumNumbers(30, 30)[0]?.code).toBe("few-points");
});

test("points beyond two sigma are to be looked at", () => {
  expect(pointsToLookAt(flat("individuals", values, -3, 3))).toEqual([3, 6]);
  expect(pointsToLookAt(flat("individuals", [null, 2, -2.1], -3, 3))).toEqual([2]);
});

test("two levels in a window are told in places of the chart", () => {
  const level = (at: number, i: number): number => at + [0.3, -0.4, 0.1, -0.2, 0.4, -0.1][i % 6]!;
  const window = Array.from({ length: 30 }, (_, i) => (i === 2 ? null : level(i < 12 ? 0 : 2, i)));
  const found = levelInWindow(flat("individuals", window, -3, 3));
  if (!found.ok) throw new Error(found.refusal.detail);
  expect(found.value.index).toBe(12);
  expect(found.value.set).toContain(12);
  expect(levelInWindow(flat("individuals", [1, 2], -3, 3))).toMatchObject({ ok: false, refusal: { code: "too-few" } });
});

test("with the drawn individuals chart, revised limits rest on the points and the moving ranges that are left", () => {
  const flow = [49.6, 47.6, 49.9, 51.3, 47.8, 61.2, 52.6, 52.4, 53.6, 52.1];
  const drawn = (exclude: readonly number[]) =>
    drawIndividuals(withoutPlaces(singles(flow), exclude), usualDesign({ from: 0, to: flow.length }));
  const study = phaseOne(drawn, [cause(5)]);
  if (!study.ok) throw new Error(study.refusal.detail);
  const [location, spread] = study.value.revised!.drawn.charts;
  const kept = flow.filter((_, i) => i !== 5);
  const ranges = [2, 2.3, 1.4, 3.5, 0.2, 1.2, 1.5];
  const meanRange = ranges.reduce((sum, range) => sum + range, 0) / ranges.length;
  expect(location!.centres.at(0)).toBeCloseTo(kept.reduce((sum, x) => sum + x, 0) / 9, 12);
  expect(spread!.centres.at(0)).toBeCloseTo(meanRange, 12);
  expect(location!.sigmas.at(0)).toBeCloseTo((meanRange * Math.sqrt(Math.PI)) / 2, 12);
  expect([5, 6].map((place) => spread!.values.at(place))).toEqual([null, null]);
  expect(location!.provenance.n).toBe(9);
});
