import { expect, test } from "vitest";
import { drawIndividuals } from "../../../../spc/drawn/individuals.ts";
import { drawResidual } from "../../../../spc/drawn/residual.ts";
import { usualDesign } from "../../../../spc/model/chart-design.ts";
import { verdictAt } from "../../../../spc/model/drawn-chart.ts";
import { singles } from "../../../../spc/model/grouped.ts";
import { dependentSeries, drawnValues, faults } from "./series.ts";

const whole = (n: number) => usualDesign({ from: 0, to: n });

test("a residual is what the point before does not explain, and needs one", () => {
  const { charts, model } = drawResidual(
    singles([3, 5, null, 4, 6]),
    { ...whole(5), centre: 2, sigma: 1 },
    { phi: 0.5 },
  );
  expect(drawnValues(charts[0]!)).toEqual([null, 2.5, null, null, 3]);
  expect(charts.map(({ kind }) => kind)).toEqual(["residual", "moving-range"]);
  expect([charts[0]!.lower.at(1), charts[0]!.centres.at(1), charts[0]!.upper.at(1)]).toEqual([-3, 0, 3]);
  expect(model).toEqual({ mean: 2, phi: 0.5, standardError: null });
  const apart = drawResidual({ ...singles([3, 5, 4]), anew: [1] }, { ...whole(3), centre: 2, sigma: 1 }, { phi: 0.5 });
  expect(drawnValues(apart.charts[0]!)).toEqual([null, null, 0.5]);
});

test("residuals of a dependent series are near independent, and their chart signals as often as it should", () => {
  const n = 20_000;
  const values = dependentSeries(n, 0.7, 1, 21);
  const { charts, model, cautions } = drawResidual(singles(values), whole(n));
  expect(Math.abs(model!.phi - 0.7)).toBeLessThan(4 * model!.standardError!);
  expect(charts[0]!.upper.at(0)! / 3).toBeCloseTo(Math.sqrt(1 - 0.49), 1);
  const signals = values.filter((_, i) => ["above", "below"].includes(verdictAt(charts[0]!, i))).length;
  expect(Math.abs(signals - 0.0027 * n)).toBeLessThan(4 * Math.sqrt(0.0027 * n));
  const plain = drawIndividuals(singles(values), whole(n)).charts[0]!;
  expect(values.filter((_, i) => verdictAt(plain, i) !== "within").length).toBeGreaterThan(0.08 * n);
  expect(cautions.map(({ code }) => code)).toEqual(["residual-insensitive"]);
});

test("a shift that stays shows whole at first and by 1 - phi after that", () => {
  const values = [0, 0, 0, 10, 10, 10];
  const { charts } = drawResidual(singles(values), { ...whole(6), centre: 0, sigma: 1 }, { phi: 0.8 });
  expect(
    drawnValues(charts[0]!)
      .slice(1)
      .map((e) => Number(e!.toFixed(12))),
  ).toEqual([0, 0, 10, 2, 2]);
});

test("what cannot be modelled is refused, and keeps its places", () => {
  for (const values of [[], [1, 2, 3], Array.from({ length: 12 }, () => 4)]) {
    const { charts, model } = drawResidual(singles(values), whole(values.length));
    expect(charts[0]!.refusal).not.toBeNull();
    expect(charts[0]!.values.length).toBe(values.length);
    expect(model).toBeNull();
    expect(charts.flatMap(faults)).toEqual([]);
  }
  expect(drawResidual(singles([null, null]), whole(2), { phi: 0.5 }).charts[0]!.refusal?.code).toBe("too-few");
  expect(() => drawResidual(singles([1]), whole(1), { phi: 1 })).toThrow(RangeError);
});
