import { expect, test } from "vitest";
import { drawNominal } from "../../../../spc/drawn/nominal.ts";
import { leveneChance } from "../../../../spc/drawn/nominal-parts.ts";
import { drawZW } from "../../../../spc/drawn/z-w.ts";
import { d2 } from "../../../../spc/factors/d2.ts";
import { usualDesign } from "../../../../spc/model/chart-design.ts";
import { verdictAt } from "../../../../spc/model/drawn-chart.ts";
import { singles, subgroups } from "../../../../spc/model/grouped.ts";
import { normals } from "../../../property/spc/seeded.ts";
import { drawnValues, faults } from "../time-weighted/series.ts";

const whole = (n: number) => usualDesign({ from: 0, to: n });

test("a missing part keeps its place and needs no nominal", () => {
  const { charts } = drawNominal(singles([20.1, null, 35.6]), [20, null, 35], whole(3));
  expect(charts[0]!.values.at(1)).toBeNull();
  expect(charts[1]!.values.at(2)).toBeNull();
  expect(() => drawNominal(singles([20.1]), [Number.NaN], whole(1))).toThrow(RangeError);
  expect(() => drawNominal(singles([20.1]), [], whole(1))).toThrow(RangeError);
  expect(() => drawNominal(singles([1.5e308]), [-1.5e308], whole(1))).toThrow(RangeError);
});

test("subgroups of parts are averages of deviations beside their standard deviations", () => {
  const { charts } = drawNominal(
    subgroups([
      [20.1, 19.9],
      [35.2, 35.4],
      [20, 20.2],
    ]),
    [20, 35, 20],
    whole(3),
  );
  expect(charts.map(({ kind }) => kind)).toEqual(["deviation", "standard-deviation"]);
  expect(charts[0]!.values.at(1)).toBeCloseTo(0.3, 12);
});

test("parts that do not vary alike are named", () => {
  const next = normals(6);
  const nominal = Array.from({ length: 60 }, (_, i) => (i % 2 === 0 ? 20 : 35));
  const alike = nominal.map((target) => target + 0.1 * next());
  const unlike = nominal.map((target) => target + (target === 20 ? 0.1 : 0.6) * next());
  const codes = (values: readonly number[]) =>
    drawNominal(singles(values), nominal, whole(60)).cautions.map(({ code }) => code);
  expect(codes(alike)).not.toContain("unequal-parts");
  expect(codes(unlike)).toContain("unequal-parts");
});

test("Levene's test about the median, against the F of distances worked by hand", () => {
  // Distances 1 0 1 and 3 0 3: means 2/3 and 2, between 8/3, within (2/3 + 6) / 4, F = 1.6 on 1 and 4 degrees.
  const chance = leveneChance([
    [1, 2, 3],
    [2, 5, 8],
  ])!;
  // P(F > 1.6) = P(|t_4| > 1.26491): 0.27462 by the closed form of t with 4 degrees of freedom.
  const t = Math.sqrt(1.6);
  const u = t / Math.sqrt(4 + t * t);
  expect(chance).toBeCloseTo(1 - (1.5 * u - 0.5 * u ** 3), 9);
  expect(leveneChance([[1, 2, 3]])).toBeNull();
  expect(
    leveneChance([
      [1, 1, 1],
      [2, 2, 2],
    ]),
  ).toBeNull();
});

test("what is not known of a part is had from its own values, whatever was made between them", () => {
  const values = [20, 35, 20.2, 36, 19.9, 35.5, 20.1, 35.2];
  const parts = values.map((_, i) => (i % 2 === 0 ? "A" : "B"));
  const { models, charts } = drawZW(singles(values), parts, whole(8));
  expect(models.get("A")!.mean).toBeCloseTo(20.05, 12);
  expect(models.get("A")!.sigma).toBeCloseTo((0.2 + 0.3 + 0.2) / 3 / d2(2), 12);
  expect(models.get("B")!.sigma).toBeCloseTo((1 + 0.5 + 0.3) / 3 / d2(2), 12);
  expect(charts[0]!.provenance.estimator).toBe("moving-range");
  const overall = drawZW(singles(values), parts, { ...whole(8), basis: "overall" });
  expect(overall.charts[0]!.provenance.estimator).toBe("overall");
});

test("a part without history has no points, and says so", () => {
  const values = [20, 20.3, 20.1, 50];
  const { charts, cautions } = drawZW(singles(values), ["A", "A", "A", "C"], whole(4));
  expect(charts[0]!.values.at(3)).toBeNull();
  expect(verdictAt(charts[0]!, 3)).toBe("not-evaluable");
  expect(cautions.map(({ code }) => code)).toEqual(["part-without-limits"]);
  const none = drawZW(singles([1, 2]), ["A", "B"], whole(2));
  expect(none.charts.map((chart) => chart.refusal?.code)).toEqual(["too-few", "too-few"]);
  expect(drawZW(singles([]), [], whole(0)).charts[0]!.refusal?.code).toBe("too-few");
  expect(none.charts.flatMap(faults)).toEqual([]);
});

test("subgroups are standardised by the root of their size, and w is the range over sigma", () => {
  const known = new Map([["A", { mean: 10, sigma: 2 }]]);
  const { charts } = drawZW(
    subgroups([
      [10, 12, 11, 11],
      [9, 11],
    ]),
    ["A", "A"],
    whole(2),
    known,
  );
  expect(drawnValues(charts[0]!)[0]).toBeCloseTo(1, 12);
  expect(drawnValues(charts[1]!)).toEqual([1, 1]);
  expect(charts[1]!.centres.at(0)).toBeCloseTo(d2(4), 9);
  expect(charts[0]!.provenance.estimator).toBe("given");
});

test("what cannot be meant is a defect in the caller", () => {
  const data = singles([1, 2]);
  expect(() => drawZW(data, ["A"], whole(2))).toThrow(RangeError);
  expect(() => drawZW(data, ["A", "A"], { ...whole(2), sigma: 1 })).toThrow(RangeError);
  expect(() => drawZW(data, ["A", "A"], whole(2), new Map([["A", { mean: 1, sigma: 0 }]]))).toThrow(RangeError);
});
