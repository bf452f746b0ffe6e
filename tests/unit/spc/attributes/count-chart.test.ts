import { expect, test } from "vitest";
import { drawC } from "../../../../spc/drawn/c.ts";
import { countDispersion } from "../../../../spc/drawn/count-dispersion.ts";
import { drawNp } from "../../../../spc/drawn/np.ts";
import { drawP } from "../../../../spc/drawn/p.ts";
import { drawPPrime } from "../../../../spc/drawn/p-prime.ts";
import { drawU } from "../../../../spc/drawn/u.ts";
import { drawUPrime } from "../../../../spc/drawn/u-prime.ts";
import type { ChartDesign } from "../../../../spc/model/chart-design.ts";
import { usualDesign } from "../../../../spc/model/chart-design.ts";
import { counted } from "../../../../spc/model/counted.ts";
import type { DrawnCharts } from "../../../../spc/model/drawn-chart.ts";
import { verdictAt } from "../../../../spc/model/drawn-chart.ts";

const design = (n: number, more: Partial<ChartDesign> = {}): ChartDesign => ({
  ...usualDesign({ from: 0, to: n }),
  ...more,
});
const codes = ({ cautions }: DrawnCharts): readonly string[] => cautions.map(({ code }) => code);
const refused = ({ charts }: DrawnCharts): string | undefined => charts[0]!.refusal?.code;
const all = [drawP, drawNp, drawC, drawU, drawPPrime, drawUPrime];

test("each size has its own limits, cut at 0 and at all pieces", () => {
  const drawn = drawP(counted([90, 9, 950], [100, 10, 1000]), design(3));
  const [chart] = drawn.charts;
  const p = 1049 / 1110;
  for (const [place, n] of [100, 10, 1000].entries()) {
    const half = 3 * Math.sqrt((p * (1 - p)) / n);
    expect(chart!.upper.at(place)).toBeCloseTo(Math.min(1, p + half), 12);
    expect(chart!.lower.at(place)).toBeCloseTo(Math.max(0, p - half), 12);
    expect(chart!.sigmas.at(place)).toBeCloseTo(half / 3, 12);
  }
  expect(chart!.upper.at(1)).toBe(1);
  expect(chart!.patterns).toBe("first-four");
});

test("a sample of no pieces, or without a count or a size, is a point that nothing judges", () => {
  const chart = drawU(counted([4, 0, null, 5, 6], [2, 0, 2, null, 3]), design(5)).charts[0]!;
  expect([0, 1, 2, 3, 4].map((place) => chart.values.at(place))).toEqual([2, null, null, null, 2]);
  expect([0, 1, 2, 3, 4].map((place) => verdictAt(chart, place))).toEqual([
    "within",
    "not-evaluable",
    "not-evaluable",
    "not-evaluable",
    "within",
  ]);
  expect(chart.upper.at(1)).toBeNull();
  expect(chart.provenance.n).toBe(2);
});

test("counts that cannot be are defects", () => {
  for (const draw of all) {
    for (const bad of [-1, 2.5, 1e300]) expect(() => draw(counted([3, bad, 4], 10), design(3))).toThrow(RangeError);
    expect(() => draw(counted([3, 4], [10, -10]), design(2))).toThrow(RangeError);
    expect(() => draw(counted([3, 4], [10]), design(2))).toThrow(RangeError);
    expect(() => draw(counted([3, 4], 10), design(3))).toThrow(RangeError);
    expect(() => draw(counted([3, 4], 10), design(2, { k: 0 }))).toThrow(RangeError);
    expect(() => draw(counted([3, 4], 10), design(2, { centre: -1 }))).toThrow(RangeError);
  }
  for (const draw of [drawP, drawNp, drawPPrime]) {
    expect(() => draw(counted([3, 11], 10), design(2))).toThrow(RangeError);
    expect(() => draw(counted([3, 1], [10, 10.5]), design(2))).toThrow(RangeError);
    expect(() => draw(counted([3, 4], 10), design(2, { centre: 11 }))).toThrow(RangeError);
  }
});

test("where no limits follow, the points stay", () => {
  expect(refused(drawNp(counted([3, 4], [10, 20]), design(2)))).toBe("unequal-sizes");
  expect(refused(drawC(counted([3, 4], [1, 2]), design(2)))).toBe("unequal-sizes");
  for (const draw of all) {
    expect(refused(draw(counted([0, 0, 0], 10), design(3)))).toBe("zero-variation");
    expect(refused(draw(counted([4, null], 10), design(2)))).toBe("too-few");
    expect(refused(draw(counted([]), design(0)))).toBe("too-few");
    expect(refused(draw(counted([null, 0], [2, 0]), design(2)))).toBe("too-few");
    const chart = draw(counted([4, null], 10), design(2)).charts[0]!;
    expect(chart.values.at(0)).not.toBeNull();
    expect(verdictAt(chart, 0)).toBe("not-evaluable");
  }
  for (const draw of [drawP, drawNp]) expect(refused(draw(counted([10, 10], 10), design(2)))).toBe("zero-variation");
  for (const draw of [drawP, drawNp, drawC, drawU]) {
    expect(refused(draw(counted([3, 4], 10), design(2, { sigma: 1 })))).toBe("spread-follows-centre");
    expect(refused(draw(counted([3, 4], 10), design(2, { basis: "overall" })))).toBe("spread-follows-centre");
  }
  for (const draw of [drawPPrime, drawUPrime]) {
    expect(refused(draw(counted([3, 4], 10), design(2, { limits: "exact" })))).toBe("no-exact-limits");
    expect(refused(draw(counted([3, 3, 3], 10), design(3)))).toBe("zero-variation");
  }
});

test("a given centre is that of what is plotted", () => {
  const data = counted([3, 4, 5], 10);
  const share = drawP(data, design(3, { centre: 0.3 })).charts[0]!;
  const pieces = drawNp(data, design(3, { centre: 3 })).charts[0]!;
  expect(pieces.upper.at(0)).toBeCloseTo(10 * share.upper.at(0)!, 12);
  expect(drawC(counted([3, 4], 1), design(2, { centre: 9 })).charts[0]!.upper.at(0)).toBe(18);
  expect(drawU(counted([3, 4], 4), design(2, { centre: 9 })).charts[0]!.upper.at(0)).toBe(13.5);
  expect(share.provenance.estimator).toBe("given");
});

test("exact limits are whole counts, and what chance makes of them is said", () => {
  const drawn = drawP(counted([5, 4, 6, 5], 50), design(4, { limits: "exact" }));
  const chart = drawn.charts[0]!;
  expect(chart.upper.at(0)! * 50).toBeCloseTo(Math.round(chart.upper.at(0)! * 50), 9);
  expect(drawn.cautions.find(({ code }) => code === "achieved-chance")?.text).toMatch(
    /^counts are whole, so chance passes/,
  );
  const c = drawC(counted([16, 16, 15, 17]), design(4, { limits: "exact" })).charts[0]!;
  expect([c.lower.at(0), c.upper.at(0)]).toEqual([5, 29]);
});

test("sides that cannot signal are told", () => {
  expect(codes(drawC(counted([9, 9, 9, 8, 10]), design(5)))).toContain("low-counts");
  expect(codes(drawC(counted([10, 9, 10, 9, 10, 10]), design(6)))).not.toContain("low-counts");
  // n <= 9 (1 - p) / p: 81 at p = 0.1.
  expect(codes(drawP(counted([8, 8], 80), design(2, { centre: 0.1 })))).toContain("low-counts");
  expect(codes(drawP(counted([8, 8], 82), design(2, { centre: 0.1 })))).not.toContain("low-counts");
  expect(drawP(counted([1, 0, 0, 0], 10), design(4)).cautions[0]!.text).toContain("fewer than one is expected");
});

test("scatter that chance does not make is told, with its direction", () => {
  const wild = Array.from({ length: 20 }, (_, i) => (i % 2 === 0 ? 400 : 600));
  const tame = Array.from({ length: 20 }, (_, i) => 500 + (i % 2));
  expect(codes(drawC(counted(wild), design(20)))).toEqual(["overdispersed"]);
  expect(codes(drawP(counted(tame, 1000), design(20)))).toEqual(["underdispersed"]);
  expect(codes(drawUPrime(counted(tame, 2), design(20)))).toEqual(["underdispersed"]);
  expect(codes(drawUPrime(counted(wild, 2), design(20)))).toEqual([]);
  const found = countDispersion(counted([4, 6]), "poisson", 5, design(2).baseline);
  expect(found).toEqual({
    statistic: expect.closeTo(0.4, 12),
    df: 1,
    pOver: expect.closeTo(0.527, 3),
    pUnder: expect.closeTo(0.473, 3),
  });
  // A given centre that is off is no scatter.
  expect(codes(drawC(counted([100, 101, 92, 105, 108, 94, 112, 90]), design(8, { centre: 400 })))).toEqual([]);
  expect(countDispersion(counted([0, 1]), "poisson", 0.5, design(2).baseline)).toBeNull();
});

test("more sizes than are remembered each have the limits that they have alone", () => {
  const sizes = Array.from({ length: 10000 }, (_, i) => 100 + i);
  const counts = sizes.map((size) => Math.round(size / 10));
  const chart = drawU(counted(counts, sizes), design(10000, { limits: "exact" })).charts[0]!;
  const again = drawU(
    counted(counts.slice(0, 2), sizes.slice(0, 2)),
    design(2, { limits: "exact", centre: chart.centres.at(0) }),
  );
  expect(chart.upper.at(1)).toBe(again.charts[0]!.upper.at(1));
  expect(chart.upper.at(9999)).not.toBeNull();
});
