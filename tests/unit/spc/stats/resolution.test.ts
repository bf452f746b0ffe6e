import { expect, test } from "vitest";
import { columnFrom, constantColumn } from "../../../../spc/model/column.ts";
import type { DrawnChart } from "../../../../spc/model/drawn-chart.ts";
import { resolution } from "../../../../spc/stats/resolution.ts";

function rangesOf(values: readonly number[], upper: number | null): DrawnChart {
  const n = values.length - 1;
  const ranges = values.slice(1).map((value, i) => Math.abs(value - values[i]!));
  return {
    kind: "moving-range",
    provenance: { estimator: "moving-range", from: 0, to: n, n, k: 3 },
    refusal: null,
    values: columnFrom(ranges),
    centres: constantColumn(null, n),
    sigmas: constantColumn(null, n),
    lower: constantColumn(null, n),
    upper: constantColumn(upper, n),
    patterns: "limit",
    anew: [],
  };
}

const codes = (found: { readonly cautions: readonly { readonly code: string }[] }) =>
  found.cautions.map(({ code }) => code);

test("an instrument that shows 0.1 steps of a process with sigma 0.05 is too coarse on both counts", () => {
  const coarse = [20.1, 20.2, 20.1, 20.1, 20.2, 20.0, 20.1, 20.1];
  const found = resolution(coarse, rangesOf(coarse, 1), 0.05);
  // 20.2 - 20.1 and 20.1 - 20.0 are one range, though not to the last bit.
  expect(found.distinctRanges).toBe(3);
  expect(found.increment).toBeCloseTo(0.1, 12);
  expect(codes(found)).toEqual(["few-distinct-values", "coarse-increment"]);
});

test("a fine instrument gives no caution", () => {
  const fine = [1.13, 2.27, 0.71, 1.94, 3.05, 1.62, 2.41, 0.33];
  expect(resolution(fine, rangesOf(fine, 5), 1).cautions).toEqual([]);
});

test("ranges beyond their limits do not count as distinct; without limits all of them do", () => {
  const values = [0, 1, 0, 2, 0, 3, 0, 4, 0, 50, 0];
  expect(resolution(values, rangesOf(values, 10), 1).distinctRanges).toBe(4);
  expect(resolution(values, rangesOf(values, null), 1).distinctRanges).toBe(5);
});

test("the instrument's own step goes before the smallest difference seen", () => {
  expect(codes(resolution([1, 5, 9], null, 2, 1))).toEqual([]);
  expect(codes(resolution([1, 5, 9], null, 2))).toEqual(["coarse-increment"]);
});

test("one value, equal values, values that are no numbers", () => {
  expect(resolution([7], null, null)).toEqual({ distinctRanges: 0, increment: null, cautions: [] });
  expect(resolution([7, 7], rangesOf([7, 7], null), null).increment).toBeNull();
  expect(() => resolution([1, Number.NaN], null, 1)).toThrow(RangeError);
  expect(() => resolution([], null, 1)).toThrow(RangeError);
});
