import fc from "fast-check";
import { expect, test } from "vitest";
import { drawT2 } from "../../../../spc/drawn/t2.ts";
import { usualDesign } from "../../../../spc/model/chart-design.ts";
import { verdictAt } from "../../../../spc/model/drawn-chart.ts";
import { singleVectors, vectorSubgroups } from "../../../../spc/model/vectors.ts";
import { moments } from "../../../../spc/stats/moments.ts";
import { normals } from "../seeded.ts";

const POINTS = 15_000;

function correlated(p: number, next: () => number): readonly number[] {
  const common = next();
  return Array.from({ length: p }, (_, j) => 3 * j + (j + 1) * (common + next()));
}

const covarianceOf = (p: number): number[][] =>
  Array.from({ length: p }, (_, i) => Array.from({ length: p }, (__, j) => (i + 1) * (j + 1) * (i === j ? 2 : 1)));

test.each([
  [1, 4],
  [2, 5],
  [3, 8],
] as const)("%d components in subgroups of %d: mean and spread of chance are as the lines say", (p, n) => {
  const next = normals(100 + p);
  const lists = Array.from({ length: POINTS }, () => Array.from({ length: n }, () => correlated(p, next)));
  const known = { mean: Array.from({ length: p }, (_, j) => 3 * j), covariance: covarianceOf(p) };
  const data = vectorSubgroups(p, lists);
  const chart = drawT2(data, usualDesign({ from: 0, to: POINTS }), { known }).charts[1]!;
  const { mean, sd } = moments(lists.map((_, place) => chart.values.at(place)!));
  expect(chart.kind).toBe("generalised-variance");
  expect(Math.abs(mean - chart.centres.at(0)!)).toBeLessThanOrEqual((4 * sd) / Math.sqrt(POINTS));
  expect(sd / chart.sigmas.at(0)!).toBeGreaterThan(0.9);
  expect(sd / chart.sigmas.at(0)!).toBeLessThan(1.1);
  if (p > 2) return;
  const k = 2.5;
  const exact = drawT2(data, { ...usualDesign({ from: 0, to: POINTS }), limits: "exact", k }, { known }).charts[1]!;
  const alpha = 0.0124193306;
  const seen = lists.filter((_, place) => /above|below/.test(verdictAt(exact, place))).length / POINTS;
  expect(Math.abs(seen - alpha)).toBeLessThanOrEqual(4 * Math.sqrt(alpha / POINTS));
});

test("one component: the variance of the subgroup over the pooled one", () => {
  const cell = fc.integer({ min: -100, max: 100 });
  const lists = fc.array(fc.array(cell, { minLength: 2, maxLength: 6 }), { minLength: 3, maxLength: 20 });
  fc.assert(
    fc.property(lists, (values) => {
      const data = vectorSubgroups(
        1,
        values.map((list) => list.map((value) => [value])),
      );
      const chart = drawT2(data, usualDesign({ from: 0, to: values.length })).charts[1]!;
      if (chart.refusal !== null) return;
      const spreads = values.map((list) => moments(list));
      const df = spreads.reduce((sum, { n }) => sum + n - 1, 0);
      const pooled = spreads.reduce((sum, { n, sd }) => sum + (n - 1) * sd * sd, 0) / df;
      spreads.forEach(({ sd }, place) => {
        expect(chart.values.at(place)!).toBeCloseTo((sd * sd) / pooled, 9);
      });
      expect(chart.centres.at(0)).toBeCloseTo(1, 12);
    }),
  );
});

test("single vectors have none, small subgroups are refused one, and three components no exact limits", () => {
  const next = normals(3);
  const design = usualDesign({ from: 0, to: 12 });
  const of = (n: number) => Array.from({ length: 12 }, () => Array.from({ length: n }, () => correlated(3, next)));
  expect(drawT2(singleVectors(3, of(1).flat()), design).charts).toHaveLength(1);
  expect(drawT2(vectorSubgroups(3, of(3)), design).charts[1]!.refusal?.code).toBe("too-few");
  expect(drawT2(vectorSubgroups(3, of(4)), design).charts[1]!.refusal).toBeNull();
  const exact = drawT2(vectorSubgroups(3, of(4)), { ...design, limits: "exact" }).charts;
  expect(exact[1]!.refusal?.code).toBe("no-exact-limits");
  expect(exact[0]!.refusal).toBeNull();
  const none = drawT2(vectorSubgroups(3, of(4)), { ...design, centre: 1 }).charts;
  expect(none.map(({ kind }) => kind)).toEqual(["t2", "generalised-variance"]);
});

test("a subgroup whose vectors lie on a line has no volume, and one far out still a number", () => {
  const next = normals(9);
  const lists = Array.from({ length: 10 }, () => Array.from({ length: 4 }, () => correlated(2, next)));
  const data = vectorSubgroups(2, [
    ...lists,
    [
      [1, 1],
      [2, 2],
      [3, 3],
    ],
    [
      [1, 1],
      [1, 1],
      [1, 1],
    ],
    [
      [0, 0],
      [1e200, 1],
      [1, 1e200],
    ],
  ]);
  const chart = drawT2(data, usualDesign({ from: 0, to: 10 })).charts[1]!;
  expect(chart.values.at(10)!).toBeLessThan(1e-12);
  expect(chart.values.at(11)).toBe(0);
  expect(chart.values.at(12)).toBe(Number.MAX_VALUE);
  expect(verdictAt(chart, 12)).toBe("above");
});
