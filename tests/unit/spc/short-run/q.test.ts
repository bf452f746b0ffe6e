import { expect, test } from "vitest";
import { drawQ } from "../../../../spc/drawn/q.ts";
import { usualDesign } from "../../../../spc/model/chart-design.ts";
import { verdictAt } from "../../../../spc/model/drawn-chart.ts";
import { singles, subgroups } from "../../../../spc/model/grouped.ts";
import { autocorrelation } from "../../../../spc/stats/autocorrelation.ts";
import { normals } from "../../../property/spc/seeded.ts";
import { drawnValues, faults } from "../time-weighted/series.ts";

const design = usualDesign({ from: 0, to: 0 });
const scores = (values: readonly (number | null)[]) => drawnValues(drawQ(singles(values), design).charts[0]!);

test("judging begins at the third point, by Student's t with one degree of freedom", () => {
  // Mean 1 and s sqrt(2) of 0 and 2; sqrt(2/3) (3 - 1) / sqrt(2) = 1.1547; t_1: F = 1/2 + atan(1.1547)/pi = 0.772794.
  const [first, second, third] = scores([0, 2, 3]);
  expect([first, second]).toEqual([null, null]);
  // Normal quantile of 0.7727943, by our own bisection of the error function's series.
  expect(third).toBeCloseTo(quantile(0.5 + Math.atan(2 / Math.sqrt(3)) / Math.PI), 9);
});

test("scores do not depend on unit or level, and a mirror image turns their sign", () => {
  const values = [0.1, 0.4, 0.2, 0.5, 0.9, 0.3];
  const plain = scores(values);
  const near = (others: readonly (number | null)[], sign = 1): void =>
    others.forEach((q, i) => {
      if (q !== null) expect(q).toBeCloseTo(sign * plain[i]!, 6);
    });
  near(scores(values.map((x) => 1e7 + x)));
  near(scores(values.map((x) => 1e-290 * x)));
  near(scores(values.map((x) => -3 * x)), -1);
});

test("in control scores are independent standard normals: 4,000 starts, within 4 standard errors", () => {
  const next = normals(77);
  const pooled: number[] = [];
  let beyond = 0;
  for (let start = 0; start < 4000; start += 1) {
    const { charts } = drawQ(singles(Array.from({ length: 12 }, () => 5 + 2 * next())), design);
    for (let i = 2; i < 12; i += 1) {
      pooled.push(charts[0]!.values.at(i)!);
      if (verdictAt(charts[0]!, i) !== "within") beyond += 1;
    }
  }
  const n = pooled.length;
  const mean = pooled.reduce((sum, q) => sum + q, 0) / n;
  const square = pooled.reduce((sum, q) => sum + q * q, 0) / n;
  expect(Math.abs(mean)).toBeLessThan(4 / Math.sqrt(n));
  expect(Math.abs(square - 1)).toBeLessThan(4 * Math.sqrt(2 / n));
  expect(Math.abs(autocorrelation(pooled, 1))).toBeLessThan(4 / Math.sqrt(n));
  expect(Math.abs(beyond - 0.0027 * n)).toBeLessThan(4 * Math.sqrt(0.0027 * n));
});

test("a given centre or sigma takes the place of its estimate, and both leave z itself", () => {
  const values = [1, 3, 2];
  const q = (change: { centre?: number; sigma?: number }) =>
    drawnValues(drawQ(singles(values), { ...design, ...change }).charts[0]!);
  expect(q({ centre: 1, sigma: 2 })).toEqual([0, 1, 0.5]);
  const [none, second, third] = q({ sigma: 2 });
  expect(none).toBeNull();
  expect(second).toBeCloseTo((Math.sqrt(1 / 2) * 2) / 2, 12);
  expect(third).toBeCloseTo(0, 12);
  // From the second point on, t with one degree of freedom: (3 - 0) / sqrt(1) = 3.
  expect(q({ centre: 0 })[1]).toBeCloseTo(quantile(0.5 + Math.atan(3) / Math.PI), 9);
});

test("a missing point is passed over, a correction starts again, equal points give no score", () => {
  const whole = scores([0, 2, 3, 1]);
  expect(scores([0, null, 2, 3, null, 1])).toEqual([null, null, null, whole[2], null, whole[3]]);
  const again = drawQ(singles([9, 9, 0, 2, 3, 1]), design, { corrections: [2] }).charts[0]!;
  expect(drawnValues(again)).toEqual([null, null, ...whole]);
  expect(scores([4, 4, 4, 4])).toEqual([null, null, null, null]);
  expect(scores([4, 4, 5, 4]).slice(0, 3)).toEqual([null, null, null]);
});

test("a point far beyond all chances is far out, and a number", () => {
  const next = normals(5);
  const values = [...Array.from({ length: 300 }, () => next()), 1e200, -1e200];
  const { charts } = drawQ(singles(values), design);
  expect(verdictAt(charts[0]!, 300)).toBe("above");
  // 1e-300 is 37.0471 sigma out: the tail by its asymptotic series, worked apart.
  expect(charts[0]!.values.at(300)).toBeCloseTo(37.0471, 4);
  const far = drawnValues(drawQ(singles([0, 2, 1 + Math.sqrt(3) * 1e9]), design).charts[0]!)[2]!;
  // t_1 has the chance 1 / (pi t) above t = 1e9.
  expect(far).toBeCloseTo(quantile(1 - 1 / (Math.PI * 1e9)), 5);
  expect(charts.flatMap(faults)).toEqual([]);
});

test("averages of one size are scored, several sizes are refused", () => {
  const { charts } = drawQ(
    subgroups([
      [0, 0],
      [2, 2],
      [3, 3],
    ]),
    design,
  );
  expect(charts[0]!.values.at(2)).toBeCloseTo(scores([0, 2, 3])[2]!, 12);
  const unequal = drawQ(subgroups([[0, 0], [2], [3, 3]]), design);
  expect(unequal.charts[0]!.refusal?.code).toBe("unequal-sizes");
  expect(drawQ(singles([]), design).charts[0]!.values.length).toBe(0);
});

/** Inverse of the normal distribution function by bisection, from the series of the error function. */
function quantile(p: number): number {
  const cdf = (z: number): number => {
    let term = z;
    let sum = z;
    for (let k = 1; k < 200; k += 1) {
      term *= (z * z) / (2 * k + 1);
      sum += term;
    }
    return 0.5 + (sum * Math.exp((-z * z) / 2)) / Math.sqrt(2 * Math.PI);
  };
  let [low, high] = [-8, 8];
  for (let round = 0; round < 100; round += 1) {
    const middle = (low + high) / 2;
    if (cdf(middle) < p) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
}
