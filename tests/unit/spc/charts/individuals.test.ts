import { expect, test } from "vitest";
import { chartPoint } from "../../../../spc/charts/chart-point.ts";
import { individuals, individualsMonitor, singleValue } from "../../../../spc/charts/individuals.ts";
import { advance } from "../../../../spc/model/stage.ts";

const limits = { centre: 16, lower: 4, upper: 28, sigma: 4 };
const at = (subgroup: number, value: number | null) => ({ subgroup, atMs: subgroup * 1000, value });

test("a value exactly on a limit is within (NIST/SEMATECH e-Handbook 6.3.3.1, wafer 3 on its limit of 28)", () => {
  const { out } = advance(
    individualsMonitor(limits, { everyMs: 1000 }),
    [28, 28.000001, 4, 3.9].map((v, i) => at(i, v)),
  );
  expect(out.map(({ verdict }) => verdict)).toEqual(["within", "above", "within", "below"]);
});

test("a missing value, and any value without limits, is not-evaluable and never within", () => {
  expect(chartPoint(at(0, null), null, limits)).toEqual({
    subgroup: 0,
    value: null,
    centre: 16,
    lower: 4,
    upper: 28,
    verdict: "not-evaluable",
  });
  expect(chartPoint(at(0, 16), 16, null)).toMatchObject({ value: 16, centre: null, verdict: "not-evaluable" });
  for (const value of [Number.NaN, Number.POSITIVE_INFINITY]) {
    expect(chartPoint(at(0, value), value, limits)).toMatchObject({ value: null, verdict: "not-evaluable" });
  }
});

test("a subgroup of one gives its value, any other is a defect", () => {
  expect(individuals.statistic([7])).toBe(7);
  expect(() => singleValue([])).toThrow(RangeError);
  expect(() => singleValue([1, 2])).toThrow(RangeError);
});
