import { expect, test } from "vitest";
import { ewmaRunLengthQuantile } from "../../../spc/price/ewma-run-length-quantile.ts";
import { dependenceOf, foundBy, type ReferenceChart, runLengths } from "../../score/compare/run-length.ts";

const individuals: ReferenceChart = {
  n: 1e9,
  dependence: { share: 0, phi: 0 },
  ewma: null,
  limits: true,
  specification: { above: null, below: null },
};
const weighted: ReferenceChart = { ...individuals, ewma: { lambda: 0.2, width: 2.86 } };
const stays = (shift: number): number[] => new Array<number>(2_000).fill(shift);

// Average run lengths of a Shewhart chart with known limits: Montgomery, Introduction to Statistical Quality Control,
// operating-characteristic example (from memory), as in tests/reference/data/published: 43.9 at 1, 6.30 at 2, 2.00 at 3.
test.each([
  [1, 43.9],
  [2, 6.3],
  [3, 2],
])(
  "by which point all but one in a hundred have seen %d sigma follows from the published average of %d",
  (shift, arl) => {
    const exact = Math.log(0.01) / Math.log(1 - 1 / arl);
    const found = (foundBy(individuals, stays(shift), "above", 0.99, 4_000) as number) + 1;
    expect(found / exact).toBeGreaterThan(0.85);
    expect(found / exact).toBeLessThan(1.25);
  },
);

test("a weighted mean's percentile is the one that is reckoned by integration", () => {
  for (const shift of [0.75, 1.5]) {
    const exact = ewmaRunLengthQuantile(0.2, 2.86, 0.99, shift);
    const found = (foundBy(weighted, stays(shift), "above", 0.99, 4_000) as number) + 1;
    // One-sided here, and begun in the middle of healthy days.
    expect(Math.abs(found - exact)).toBeLessThan(0.15 * exact + 1.5);
  }
});

test("few values to set limits from, or values that lean on each other, take longer", () => {
  const [known] = runLengths(individuals, 2.5, [0.95]);
  expect(runLengths({ ...individuals, n: 25 }, 2.5, [0.95])[0]).toBeGreaterThan(known as number);
  const leaning = { ...individuals, dependence: { share: 1, phi: 0.45 } };
  expect(runLengths(leaning, 2.5, [0.95])[0]).toBeGreaterThan(known as number);
});

test("what is over before it can be found so surely is due never", () => {
  expect(foundBy(individuals, [1, 1, 1], "above", 0.99)).toBeNull();
  expect(foundBy(individuals, [6, 6], "below", 0.99)).toBeNull();
  expect(foundBy(individuals, [-7, -7], "below", 0.99)).toBe(0);
});

test("a specification finds what lies beyond it where no limits rule", () => {
  const bare = { ...individuals, limits: false, specification: { above: 4, below: null } };
  expect(foundBy(bare, [0, 0, 9], "above", 0.99)).toBe(2);
});

test("share and phi give back the autocorrelations that they are from", () => {
  const { share, phi } = dependenceOf(0.3, 0.18);
  expect(share * phi).toBeCloseTo(0.3, 12);
  expect(share * phi ** 2).toBeCloseTo(0.18, 12);
  expect(dependenceOf(0.02, 0.01)).toEqual({ share: 0, phi: 0 });
});
