import { expect, test } from "vitest";
import { quantile } from "../../../../spc/stats/quantile.ts";
import type { QuantileDefinition } from "../../../../spc/stats/quantile-definitions.ts";
import { sortedCopy, sortedQuantile } from "../../../../spc/stats/quantile-definitions.ts";

const values = [3.1, 4.7, 1.2, 9.9, 5.5, 6.1, 2.2];
const shares = [0.1, 0.25, 0.5, 0.9, 0.975];

/** R 4.2.2: quantile(x, p, type = 1, 6, 7, 8). */
const found: readonly (readonly [QuantileDefinition, readonly number[]])[] = [
  ["step", [1.2, 2.2, 4.7, 9.9, 9.9]],
  ["n-plus-one", [1.2, 2.2, 4.7, 9.9, 9.9]],
  ["n-minus-one", [1.8, 2.65, 4.7, 7.62, 9.33]],
  ["median-unbiased", [1.2666666666666666, 2.35, 4.7, 9.6466666666666665, 9.9]],
];

test.each(found)("quantiles by %s are those of R 4.2.2", (definition, quantiles) => {
  const sorted = sortedCopy(values);
  shares.forEach((p, i) => {
    expect(sortedQuantile(sorted, p, definition)).toBeCloseTo(quantiles[i]!, 12);
  });
});

test("n-plus-one is the definition of `quantile`", () => {
  for (const p of shares)
    expect(sortedQuantile(sortedCopy(values), p, "n-plus-one")).toBeCloseTo(quantile(values, p), 14);
});

test("the third of thirty values is the tenth per cent step, though 0.1 * 30 is not quite 3", () => {
  expect(
    sortedQuantile(
      Float64Array.from({ length: 30 }, (_, i) => i + 1),
      0.1,
      "step",
    ),
  ).toBe(3);
});

test("quantiles of nothing, at no share, of what is no number", () => {
  expect(() => sortedQuantile([], 0.5, "step")).toThrow(RangeError);
  for (const p of [-0.1, 1.1, Number.NaN]) expect(() => sortedQuantile([1], p, "step")).toThrow(RangeError);
  expect(() => sortedCopy([1, Number.NaN])).toThrow(RangeError);
  expect(() => sortedCopy([])).toThrow(RangeError);
});

test("the middle of the widest range is finite", () => {
  expect(sortedQuantile([-1e307, 1e307], 0.5, "n-minus-one")).toBe(0);
});
