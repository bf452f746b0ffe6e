import { expect, test } from "vitest";
import { drawG, geometricQuantile } from "../../../../spc/drawn/g.ts";
import { drawT, exponentialQuantile } from "../../../../spc/drawn/t.ts";
import type { ChartDesign } from "../../../../spc/model/chart-design.ts";
import { usualDesign } from "../../../../spc/model/chart-design.ts";
import type { DrawnCharts } from "../../../../spc/model/drawn-chart.ts";
import { verdictAt } from "../../../../spc/model/drawn-chart.ts";
import { singles, subgroups } from "../../../../spc/model/grouped.ts";

const design = (n: number, more: Partial<ChartDesign> = {}): ChartDesign => ({
  ...usualDesign({ from: 0, to: n }),
  ...more,
});
const refused = ({ charts }: DrawnCharts): string | undefined => charts[0]!.refusal?.code;
const codes = ({ cautions }: DrawnCharts): readonly string[] => cautions.map(({ code }) => code);

test("a missing wait keeps its place", () => {
  for (const draw of [drawG, drawT]) {
    const chart = draw(singles([4, null, 9, 5]), design(4)).charts[0]!;
    expect(chart.values.at(1)).toBeNull();
    expect(verdictAt(chart, 1)).toBe("not-evaluable");
    expect(verdictAt(chart, 3)).toBe("within");
    expect(chart.provenance.n).toBe(3);
  }
});

test("long is above, and a single wait of nothing is no signal", () => {
  const units = [23, 110, 5, 48, 74, 12, 31, 0, 9, 67, 41, 88, 900];
  for (const limits of ["sigma", "exact"] as const) {
    for (const draw of [drawG, drawT]) {
      const given = { ...usualDesign({ from: 0, to: 12 }), limits };
      const drawn = draw(singles(units), given);
      expect(verdictAt(drawn.charts[0]!, 12), `${draw.name} ${limits}`).toBe("above");
      expect(codes(drawn)).toContain("low-side-unseen");
    }
    expect(verdictAt(drawG(singles(units), design(12, { limits })).charts[0]!, 7)).toBe("within");
  }
});

test("times of zero are told; counts of zero units are honest", () => {
  expect(codes(drawT(singles([3, 0, 5, 0]), design(4)))).toEqual(["low-side-unseen", "ties-at-zero"]);
  expect(codes(drawG(singles([3, 0, 5, 0]), design(4)))).toEqual(["low-side-unseen"]);
});

test("patterns count where the centre is the middle", () => {
  expect(drawG(singles([3, 1, 5]), design(3)).charts[0]!.patterns).toBe("limit");
  expect(drawG(singles([3, 1, 5]), design(3, { limits: "exact" })).charts[0]!.patterns).toBe("first-four");
  expect(drawT(singles([3, 1, 5]), design(3)).charts[0]!.patterns).toBe("first-four");
});

test("waits that cannot be are defects", () => {
  for (const draw of [drawG, drawT]) {
    for (const bad of [-1, Number.NaN, Number.POSITIVE_INFINITY])
      expect(() => draw(singles([3, bad]), design(2))).toThrow(RangeError);
    expect(() => draw(subgroups([[1, 2], [3]]), design(2))).toThrow(RangeError);
    expect(() => draw(singles([3, 4]), design(2, { centre: -1 }))).toThrow(RangeError);
    expect(() => draw(singles([3, 4]), design(3))).toThrow(RangeError);
  }
  expect(() => drawG(singles([3, 4.5]), design(2))).toThrow(RangeError);
  for (const bad of [0, 1, Number.NaN]) {
    expect(() => geometricQuantile(bad, 0.5)).toThrow(RangeError);
    expect(() => exponentialQuantile(bad, 1)).toThrow(RangeError);
  }
});

test("where no limits follow, the points stay", () => {
  for (const limits of ["sigma", "exact"] as const) {
    for (const draw of [drawG, drawT]) {
      expect(refused(draw(singles([0, 0, 0]), design(3, { limits }))), `${draw.name} ${limits}`).toBe("zero-variation");
      expect(refused(draw(singles([3]), design(1, { limits })))).toBe("too-few");
      expect(refused(draw(singles([]), design(0, { limits })))).toBe("too-few");
    }
    expect(refused(drawG(singles([3, 4]), design(2, { limits, sigma: 2 })))).toBe("spread-follows-centre");
    expect(refused(drawG(singles([3, 4]), design(2, { limits, centre: 1.7e308 })))).toBe(
      limits === "sigma" ? "not-finite" : undefined,
    );
    expect(refused(drawT(singles([1.7e308, 1e308]), design(2, { limits })))).toBe("not-finite");
  }
  expect(refused(drawT(singles([5, 5, 5]), design(3)))).toBe("zero-variation");
  expect(refused(drawT(singles([5, 5, 5]), design(3, { limits: "exact" })))).toBeUndefined();
  expect(refused(drawT(singles([5, 6]), design(2, { limits: "exact", basis: "overall" })))).toBe(
    "spread-follows-centre",
  );
  expect(refused(drawT(singles([5, 6]), design(2, { basis: "overall" })))).toBeUndefined();
});

test("given times and sigmas stand in place of estimates", () => {
  const chart = drawT(singles([5, 6]), design(2, { centre: 2 ** 3.6, sigma: 0.5 })).charts[0]!;
  expect(chart.upper.at(0)).toBeCloseTo(3.5 ** 3.6, 9);
  expect(chart.lower.at(0)).toBeCloseTo(0.5 ** 3.6, 9);
  expect(chart.provenance.estimator).toBe("given");
  expect(drawG(singles([5, 6]), design(2, { centre: 3 })).charts[0]!.upper.at(0)).toBeCloseTo(
    3 + 3 * Math.sqrt(12),
    12,
  );
});
