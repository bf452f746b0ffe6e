import { expect, test } from "vitest";
import { drawAveragesWithRange } from "../../../../spc/drawn/averages-range.ts";
import { drawAveragesWithS } from "../../../../spc/drawn/averages-s.ts";
import { drawIndividuals } from "../../../../spc/drawn/individuals.ts";
import { drawMedians } from "../../../../spc/drawn/medians.ts";
import { drawMovingAverage } from "../../../../spc/drawn/moving-average.ts";
import { rangesWithin } from "../../../../spc/drawn/pair-of-charts.ts";
import { drawThreeWay } from "../../../../spc/drawn/three-way.ts";
import { medianSigma } from "../../../../spc/factors/median-sigma.ts";
import { rangeCdf } from "../../../../spc/factors/range-distribution.ts";
import { chiSquareCdf } from "../../../../spc/library/chi-square.ts";
import { normalCdf } from "../../../../spc/library/normal.ts";
import { usualDesign } from "../../../../spc/model/chart-design.ts";
import { singles, subgroups } from "../../../../spc/model/grouped.ts";
import { overallSigma } from "../../../../spc/sigma/overall.ts";
import { normals } from "../../../property/spc/seeded.ts";
import { listed, numbers } from "./looking.ts";

const next = normals(8);
const lists = Array.from({ length: 30 }, () => Array.from({ length: 4 }, () => 20 + next()));
const data = subgroups(lists);
const design = usualDesign({ from: 0, to: 30 });

test("charts come with location first, and only location charts of independent points may run patterns", () => {
  const drawn = [
    drawAveragesWithS(data, design),
    drawAveragesWithRange(data, design),
    drawMedians(data, design),
    drawThreeWay(data, design),
    drawThreeWay(data, design, "range"),
    drawMovingAverage(data, design, 3),
    drawMovingAverage(singles([1, 2, 4]), usualDesign({ from: 0, to: 3 }), 2),
    drawIndividuals(singles([1, 2, 4]), usualDesign({ from: 0, to: 3 })),
  ];
  expect(drawn.map(({ charts }) => charts.map(({ kind, patterns }) => `${kind} ${patterns}`))).toEqual([
    ["average all", "standard-deviation limit"],
    ["average all", "range limit"],
    ["median all", "range limit"],
    ["average all", "moving-range limit", "standard-deviation limit"],
    ["average all", "moving-range limit", "range limit"],
    ["moving-average limit", "standard-deviation limit"],
    ["moving-average limit", "moving-range limit"],
    ["individuals all", "moving-range limit"],
  ]);
});

test("exact limits of ranges and standard deviations leave the chances of k sigma on either side", () => {
  for (const k of [2, 3, 4.5]) {
    const exact = { ...design, k, limits: "exact", sigma: 2 } as const;
    const [average, range] = drawAveragesWithRange(data, exact).charts;
    expect(rangeCdf(range!.lower.at(0)! / 2, 4)).toBeCloseTo(normalCdf(-k), 12);
    expect(1 - rangeCdf(range!.upper.at(0)! / 2, 4)).toBeCloseTo(normalCdf(-k), 12);
    const [, s] = drawAveragesWithS(data, exact).charts;
    expect(chiSquareCdf(3 * (s!.lower.at(0)! / 2) ** 2, 3)).toBeCloseTo(normalCdf(-k), 12);
    expect(1 - chiSquareCdf(3 * (s!.upper.at(0)! / 2) ** 2, 3)).toBeCloseTo(normalCdf(-k), 12);
    expect(average!.upper.at(0)! - average!.centres.at(0)!).toBeCloseTo(k, 12);
  }
  const [, range] = drawIndividuals(singles([1, 2, 4]), {
    ...usualDesign({ from: 0, to: 3 }),
    limits: "exact",
    sigma: 1,
  }).charts;
  expect(range!.lower.at(0)).toBe(0);
  expect(rangeCdf(range!.upper.at(0)!, 2)).toBeCloseTo(normalCdf(3), 12);
});

test("exact limits whose chance is lost in rounding are refused for the spread alone", () => {
  const far = { ...design, k: 8, limits: "exact" } as const;
  const codes = drawAveragesWithS(data, far).charts.map(({ refusal }) => refusal?.code ?? "ok");
  expect(codes).toEqual(["ok", "chance-too-small"]);
  expect(drawMedians(data, far).charts.map(({ refusal }) => refusal?.code)).toEqual(Array(2).fill("chance-too-small"));
  const single = drawIndividuals(singles([1, 2, 4]), { ...far, baseline: { from: 0, to: 3 } }).charts;
  expect(single.map(({ refusal }) => refusal?.code ?? "ok")).toEqual(["ok", "chance-too-small"]);
});

test("given centre and sigma stand in place of estimates, and the baseline may then be empty", () => {
  const given = { ...usualDesign({ from: 0, to: 0 }), centre: 20, sigma: 1 };
  for (const draw of [drawAveragesWithS, drawAveragesWithRange]) {
    const drawn = draw(data, given);
    expect(drawn.charts[0]!.provenance).toEqual({ estimator: "given", from: 0, to: 0, n: 0, k: 3 });
    expect([drawn.sigmaWithin, drawn.dfWithin]).toEqual([1, null]);
    expect(drawn.charts[0]!.upper.at(0)).toBe(21.5);
  }
  expect(drawMedians(data, given).charts[0]!.centres.at(0)).toBe(20);
  const three = drawThreeWay(data, { ...design, centre: 20, sigma: 1 });
  expect([three.charts[0]!.centres.at(0), three.sigmaWithin]).toEqual([20, 1]);
  expect(three.charts[0]!.provenance.estimator).toBe("moving-range");
  expect(three.charts[2]!.provenance.estimator).toBe("given");
});

test("the baseline alone decides the limits, and points outside it are judged by them", () => {
  const shifted = subgroups([...lists, ...lists.map((list) => list.map((value) => value + 10))]);
  const all = drawAveragesWithS(shifted, design);
  const own = drawAveragesWithS(data, design);
  expect(all.sigmaWithin).toBe(own.sigmaWithin);
  expect(all.charts[0]!.upper.at(40)).toBe(own.charts[0]!.upper.at(0));
  const later = drawAveragesWithS(shifted, usualDesign({ from: 30, to: 60 }));
  expect(later.charts[0]!.centres.at(0)! - own.charts[0]!.centres.at(0)!).toBeCloseTo(10, 10);
});

test("on the basis overall the three-way's averages lie within their own s, and within stays within", () => {
  const three = drawThreeWay(data, { ...design, basis: "overall" });
  const averages = Float64Array.from(numbers(three.charts[0]!.values));
  expect(three.charts[0]!.sigmas.at(0)).toBeCloseTo(overallSigma(averages).sigma, 12);
  expect(three.charts[2]!.provenance.estimator).toBe("mean-s");
});

test("the basis overall widens the location chart alone, and what varies within is still told", () => {
  for (const draw of [drawAveragesWithS, drawAveragesWithRange, drawMedians]) {
    const own = draw(data, design);
    const wide = draw(data, { ...design, basis: "overall" });
    expect(wide.charts[0]!.provenance.estimator).toBe("overall");
    const share = draw === drawMedians ? medianSigma(4) : 0.5;
    expect(wide.charts[0]!.sigmas.at(0)).toBeCloseTo(share * overallSigma(data.values).sigma, 12);
    expect(wide.charts[1]!.upper.at(0)).toBe(own.charts[1]!.upper.at(0));
    expect(wide.charts[1]!.provenance).toEqual(own.charts[1]!.provenance);
    expect([wide.sigmaWithin, wide.dfWithin]).toEqual([own.sigmaWithin, own.dfWithin]);
    expect(wide.cautions).toEqual([]);
  }
});

test("a moving range across the border of a baseline carries a point that was not meant, and is left out", () => {
  const values = [100, 1, 2, 4, 7, 500];
  const { charts } = drawIndividuals(singles(values), usualDesign({ from: 1, to: 5 }));
  expect(charts[1]!.centres.at(0)).toBeCloseTo(2, 13);
  expect(charts.map(({ provenance }) => provenance.n)).toEqual([4, 3]);
  expect(rangesWithin({ from: 3, to: 3 })).toEqual({ from: 3, to: 3 });
});

test("on the basis overall neighbours that are never both there leave the moving ranges without lines, not the values", () => {
  const apart = singles([1, null, 3, null, 2]);
  const drawn = drawIndividuals(apart, { ...usualDesign({ from: 0, to: 5 }), basis: "overall" });
  expect(drawn.charts.map(({ refusal }) => refusal?.code ?? "ok")).toEqual(["ok", "too-few"]);
  expect([drawn.sigmaWithin, drawn.charts[0]!.sigmas.at(0)]).toEqual([null, 1]);
});

test("batches that differ make the averages chart say so, and the three-way chart does not signal them", () => {
  const batches = lists.map((list) => {
    const shift = 3 * next();
    return list.map((value) => value + shift);
  });
  const nested = subgroups(batches);
  for (const draw of [drawAveragesWithS, drawAveragesWithRange]) {
    expect(draw(nested, design).cautions.map(({ code }) => code)).toEqual(["between-subgroups"]);
    expect(draw(data, design).cautions).toEqual([]);
  }
  const three = drawThreeWay(nested, design);
  expect(three.cautions.map(({ code }) => code)).toEqual(["between-within"]);
  const spread = three.charts[0]!.sigmas.at(0)!;
  expect(spread).toBeGreaterThan(2);
  expect(three.sigmaWithin!).toBeLessThan(1.3);
});

test("a moving average begins again where memory ends, and leaves missing places out", () => {
  const points = { ...singles([1, 2, 3, null, 5, 9, 10]), anew: [5] };
  const given = { ...usualDesign({ from: 0, to: 7 }), centre: 4, sigma: 1 };
  const [chart] = drawMovingAverage(points, given, 3).charts;
  expect(listed(chart!.values)).toEqual([1, 1.5, 2, null, 4, 9, 9.5]);
  const halves = listed(chart!.upper).map((upper) =>
    upper === null ? null : Number((((upper - 4) / 3) ** -2).toFixed(9)),
  );
  expect(halves).toEqual([1, 2, 3, null, 2, 1, 2]);
  expect(chart!.anew).toEqual([5]);
  for (const span of [0, 1.5, Number.NaN]) expect(() => drawMovingAverage(points, given, span)).toThrow(RangeError);
});

test("a moving average over one place is the averages chart", () => {
  const one = drawMovingAverage(data, design, 1).charts[0]!;
  const average = drawAveragesWithS(data, design).charts[0]!;
  expect(numbers(one.values)).toEqual(numbers(average.values));
  expect(one.upper.at(7)).toBeCloseTo(average.upper.at(7)!, 13);
});
