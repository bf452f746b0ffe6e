import { expect, test } from "vitest";
import { drawBatchMeans } from "../../../../spc/drawn/batch-mean.ts";
import { usualDesign } from "../../../../spc/model/chart-design.ts";
import { verdictAt } from "../../../../spc/model/drawn-chart.ts";
import { singles } from "../../../../spc/model/grouped.ts";
import { batchMeanVariance, batchSizeFor } from "../../../../spc/stats/ar1-batches.ts";
import { autocorrelation } from "../../../../spc/stats/autocorrelation.ts";
import { dependentSeries, drawnValues, faults } from "./series.ts";

const whole = (n: number) => usualDesign({ from: 0, to: n });

test("batches are consecutive, do not overlap, and leave out a rest", () => {
  const drawn = drawBatchMeans(singles([1, 3, 2, 6, 5, 5, 9]), whole(7), { size: 2 });
  expect(drawnValues(drawn.charts[0]!)).toEqual([2, 4, 5]);
  expect(drawn.firsts).toEqual([0, 2, 4]);
  expect(drawn.charts.map(({ kind }) => kind)).toEqual(["batch-mean", "moving-range"]);
  expect(drawnValues(drawn.charts[1]!)).toEqual([null, 2, 1]);
});

test("no batch reaches across a gap, and no moving range either", () => {
  const drawn = drawBatchMeans({ ...singles([1, 3, 2, 6, 5, 5, 9]), anew: [3] }, whole(7), { size: 2 });
  expect(drawn.firsts).toEqual([0, 3, 5]);
  expect(drawnValues(drawn.charts[0]!)).toEqual([2, 5.5, 7]);
  expect(drawnValues(drawn.charts[1]!)).toEqual([null, null, 1.5]);
  expect(drawn.charts[0]!.anew).toEqual([1]);
});

test("a batch of which more than a tenth is missing holds its place", () => {
  const values = Array.from({ length: 40 }, (_, i) => (i === 3 || i === 24 || i === 25 ? null : i % 7));
  const drawn = drawBatchMeans(singles(values), whole(40), { size: 20 });
  expect(drawn.charts[0]!.values.at(0)).not.toBeNull();
  const twice = drawBatchMeans(singles(values), whole(40), { size: 10 });
  expect(drawnValues(twice.charts[0]!).map((value) => value === null)).toEqual([false, false, true, false]);
});

test("limits rest on the batches that lie in the baseline whole", () => {
  const values = [1, 3, 2, 6, 5, 5, 9, 9, 100, 120];
  const drawn = drawBatchMeans(singles(values), usualDesign({ from: 1, to: 8 }), { size: 2 });
  expect(drawn.charts[0]!.provenance).toMatchObject({ from: 1, to: 4, n: 3, estimator: "moving-range" });
  expect(drawn.charts[0]!.centres.at(0)).toBeCloseTo((4 + 5 + 9) / 3, 12);
  expect(verdictAt(drawn.charts[0]!, 4)).toBe("above");
});

test("the size follows from the dependence, leaves little of it, and the means vary as they should", () => {
  const n = 40_000;
  const values = dependentSeries(n, 0.7, 1, 33);
  const drawn = drawBatchMeans(singles(values), whole(n));
  expect(Math.abs(drawn.size! - batchSizeFor(0.7))).toBeLessThanOrEqual(2);
  const means = drawnValues(drawn.charts[0]!);
  expect(Math.abs(autocorrelation(means, 1) - 0.1)).toBeLessThan(4 / Math.sqrt(means.length));
  const spread = drawn.charts[0]!.sigmas.at(0)! / Math.sqrt(batchMeanVariance(0.7, drawn.size!));
  // Moving ranges see sqrt(1 - 0.1) of it.
  expect(spread).toBeCloseTo(Math.sqrt(0.9), 1);
});

test("without a size there are no places, and the reason stands", () => {
  const drawn = drawBatchMeans(singles([1, 2]), whole(2));
  expect(drawn.size).toBeNull();
  expect(drawn.charts.map((chart) => chart.refusal?.code)).toEqual(["too-few", "too-few"]);
  expect(drawn.charts.flatMap(faults)).toEqual([]);
  const none = drawBatchMeans(singles([1, 2, 3]), whole(3), { size: 9 });
  expect(none.charts[0]!.refusal?.code).toBe("too-few");
  expect(() => drawBatchMeans(singles([1]), whole(1), { size: 0 })).toThrow(RangeError);
});
