import { expect, test } from "vitest";
import { drawAveragesWithRange } from "../../../../spc/drawn/averages-range.ts";
import { drawAveragesWithS } from "../../../../spc/drawn/averages-s.ts";
import { drawIndividuals } from "../../../../spc/drawn/individuals.ts";
import { drawMedians } from "../../../../spc/drawn/medians.ts";
import { drawMovingAverage } from "../../../../spc/drawn/moving-average.ts";
import { drawThreeWay } from "../../../../spc/drawn/three-way.ts";
import { usualDesign } from "../../../../spc/model/chart-design.ts";
import type { DrawnCharts } from "../../../../spc/model/drawn-chart.ts";
import { verdictAt } from "../../../../spc/model/drawn-chart.ts";
import type { Grouped } from "../../../../spc/model/grouped.ts";
import { singles, subgroupCount, subgroups } from "../../../../spc/model/grouped.ts";
import { normals } from "../../../property/spc/seeded.ts";
import { beyond, listed } from "./looking.ts";

const whole = (data: Grouped) => usualDesign({ from: 0, to: subgroupCount(data) });
const codes = ({ charts }: DrawnCharts) => charts.map(({ refusal }) => refusal?.code ?? "ok");
const kinds = ({ charts }: DrawnCharts) => charts.map(({ kind }) => kind);

const grouped = {
  s: drawAveragesWithS,
  range: drawAveragesWithRange,
  medians: drawMedians,
  threeWay: drawThreeWay,
  movingAverage: (data: Grouped, design: ReturnType<typeof whole>) => drawMovingAverage(data, design, 3),
};
const forms = Object.entries(grouped);

test.each(forms)("%s: one subgroup, or none, is too few, and the points stay", (_, draw) => {
  for (const data of [subgroups([]), subgroups([[1, 2, 4]])]) {
    const drawn = draw(data, whole(data));
    expect(new Set(codes(drawn))).toEqual(new Set(["too-few"]));
    expect(drawn.charts[0]!.values.length).toBe(subgroupCount(data));
    expect([drawn.sigmaWithin, drawn.dfWithin]).toEqual([null, null]);
  }
  const one = subgroups([[1, 2, 3]]);
  expect(draw(one, whole(one)).charts[0]!.values.at(0)).toBe(2);
});

test.each(forms)("%s: values that are all equal have no limits and never signal", (_, draw) => {
  const data = subgroups([
    [5, 5],
    [5, 5],
    [5, 5],
  ]);
  const drawn = draw(data, whole(data));
  expect(new Set(codes(drawn))).toEqual(new Set(["zero-variation"]));
  for (const chart of drawn.charts) expect(verdictAt(chart, 1)).toBe("not-evaluable");
});

test.each(forms)("%s: one huge outlier is signalled, beside a baseline without it", (_, draw) => {
  const next = normals(4);
  const lists = Array.from({ length: 30 }, () => [next(), next(), next()]);
  lists[25] = [1e9, 1e9 + 1, 1e9];
  const data = subgroups(lists);
  const [location] = draw(data, usualDesign({ from: 0, to: 25 })).charts;
  expect(beyond(location!)).toContain(26);
  expect(location!.refusal).toBeNull();
});

test.each(forms)("%s: an empty subgroup keeps its place without a point", (_, draw) => {
  const data = subgroups([[1, 2], [3, 1], [], [2, 2.5], [1, 2]]);
  const { charts } = draw(data, whole(data));
  for (const chart of charts) {
    expect(chart.values.length).toBe(5);
    expect(chart.values.at(2)).toBeNull();
    expect(verdictAt(chart, 2)).toBe("not-evaluable");
  }
});

test("a subgroup with one member missing has limits of its own, and one of one has no spread point", () => {
  const data = subgroups([[1, 2, 3], [2, 3, 5], [1, 4], [2, 2, 4], [3]]);
  for (const drawn of [drawAveragesWithS(data, whole(data)), drawAveragesWithRange(data, whole(data))]) {
    const [average, spread] = drawn.charts;
    const half = (place: number) => average!.upper.at(place)! - average!.centres.at(place)!;
    expect(half(2) / half(0)).toBeCloseTo(Math.sqrt(3 / 2), 12);
    expect(half(4) / half(0)).toBeCloseTo(Math.sqrt(3), 12);
    expect(half(4)).toBeCloseTo(3 * drawn.sigmaWithin!, 12);
    expect(listed(spread!.values).map((value) => value === null)).toEqual([false, false, false, false, true]);
    expect([spread!.centres.at(4), spread!.upper.at(4), spread!.lower.at(4)]).toEqual([null, null, null]);
    expect(average!.provenance).toMatchObject({ estimator: "pooled-s", n: 5 });
    expect(spread!.provenance.n).toBe(4);
    expect(drawn.dfWithin).toBe(7);
  }
});

test("averages of single values are judged by moving ranges, and the spread chart says why it has no lines", () => {
  const data = singles([1, 2, 4, 3]);
  for (const draw of [drawAveragesWithS, drawAveragesWithRange, drawMedians]) {
    const drawn = draw(data, whole(data));
    expect(codes(drawn)).toEqual(["ok", "too-few"]);
    expect(drawn.charts[0]!.provenance.estimator).toBe("moving-range");
    expect(listed(drawn.charts[1]!.values)).toEqual([null, null, null, null]);
  }
});

test("negative data are drawn like any other", () => {
  const lists = [
    [-5, -3],
    [-4, -6],
    [-2, -5],
  ];
  const data = subgroups(lists);
  const mirror = subgroups(lists.map((list) => list.map((value) => -value)));
  for (const [, draw] of forms) {
    const [own] = draw(data, whole(data)).charts;
    const [mirrored] = draw(mirror, whole(mirror)).charts;
    expect(own!.upper.at(1)).toBeCloseTo(-mirrored!.lower.at(1)!, 12);
    expect(own!.centres.at(1)!).toBeLessThan(0);
  }
});

test("subgroups of more than 25 have their factors like any other", () => {
  const next = normals(6);
  const data = subgroups(Array.from({ length: 40 }, () => Array.from({ length: 60 }, () => 10 + next())));
  for (const [, draw] of forms) {
    const { sigmaWithin, charts } = draw(data, whole(data));
    expect(Math.abs(sigmaWithin! - 1)).toBeLessThan(0.1);
    for (const chart of charts) expect(chart.refusal).toBeNull();
  }
});

test("10,000,000.1 keeps its digits", () => {
  const lists = [
    [0.1, 0.2, 0.4],
    [0.2, 0.3, 0.2],
    [0.1, 0.3, 0.3],
  ];
  const near = drawAveragesWithS(subgroups(lists), usualDesign({ from: 0, to: 3 }));
  const far = drawAveragesWithS(
    subgroups(lists.map((list) => list.map((value) => value + 1e7))),
    usualDesign({ from: 0, to: 3 }),
  );
  expect(far.sigmaWithin!).toBeCloseTo(near.sigmaWithin!, 8);
  expect(far.charts[0]!.upper.at(0)! - 1e7).toBeCloseTo(near.charts[0]!.upper.at(0)!, 8);
});

test("two single values have limits, one has none", () => {
  const two = singles([10, 12]);
  const drawn = drawIndividuals(two, whole(two));
  expect(kinds(drawn)).toEqual(["individuals", "moving-range"]);
  expect(codes(drawn)).toEqual(["ok", "ok"]);
  expect(drawn.charts[0]!.upper.at(0)).toBeCloseTo(11 + 3 * Math.sqrt(Math.PI), 12);
  expect(codes(drawIndividuals(singles([10]), usualDesign({ from: 0, to: 1 })))).toEqual(["too-few", "too-few"]);
  expect(() => drawIndividuals(subgroups([[1, 2]]), usualDesign({ from: 0, to: 1 }))).toThrow(RangeError);
});

test("what leaves the range of numbers is refused, and what is no number is a defect", () => {
  const large = subgroups([
    [1e300, -1e300],
    [1e300, 0],
    [1.7e308, -1.7e308],
  ]);
  for (const [, draw] of forms) {
    expect(new Set(codes(draw(large, whole(large))))).toContain("not-finite");
    for (const bad of [Number.NaN, Number.POSITIVE_INFINITY]) {
      const data = subgroups([
        [1, 2],
        [3, bad],
        [1, 4],
      ]);
      expect(() => draw(data, whole(data))).toThrow(RangeError);
    }
  }
  const range = singles([1.7e308, -1.7e308, 0]);
  expect(codes(drawIndividuals(range, whole(range)))).toEqual(["not-finite", "not-finite"]);
  expect(() => drawIndividuals(singles([1, Number.NaN]), usualDesign({ from: 0, to: 2 }))).toThrow(RangeError);
});
