import { expect, test } from "vitest";
import { limitError } from "../../../../spc/charts/limit-error.ts";
import { c4 } from "../../../../spc/factors/c4.ts";
import { normals } from "../../../property/spc/seeded.ts";

// Our own simulation, seeds fixed: baselines of standard normal values, limits made of each by the textbook formula, and
// how far those limits scatter. Of 4,000 the standard deviation is known to some 1.1 %, the tolerance is four times that.
const rounds = 4_000;

function scatter(limit: (next: () => number) => number, seed: number): number {
  const next = normals(seed);
  const limits = Array.from({ length: rounds }, () => limit(next));
  const mean = limits.reduce((sum, one) => sum + one, 0) / rounds;
  return Math.sqrt(limits.reduce((sum, one) => sum + (one - mean) ** 2, 0) / (rounds - 1));
}
const meanOf = (values: readonly number[]): number => values.reduce((sum, one) => sum + one, 0) / values.length;
const sOf = (values: readonly number[]): number => {
  const mean = meanOf(values);
  return Math.sqrt(values.reduce((sum, one) => sum + (one - mean) ** 2, 0) / (values.length - 1));
};
const draw = (next: () => number, n: number): number[] => Array.from({ length: n }, next);

test.each([30, 100, 300])("individuals by moving ranges of %i values", (points) => {
  const found = scatter((next) => {
    const values = draw(next, points);
    const ranges = values.slice(1).map((value, at) => Math.abs(value - values[at]!));
    return meanOf(values) + (3 * meanOf(ranges)) / (2 / Math.sqrt(Math.PI));
  }, points);
  const said = limitError({ half: 3, k: 3, points, runs: 1, basis: "chart" });
  expect(said / 1.96 / found).toBeGreaterThan(0.95);
  expect(said / 1.96 / found).toBeLessThan(1.05);
});

test.each([30, 100])("individuals by s of %i values", (points) => {
  const found = scatter((next) => {
    const values = draw(next, points);
    return meanOf(values) + 3 * sOf(values);
  }, points + 1);
  const said = limitError({ half: 3, k: 3, points, runs: 1, basis: "overall" });
  expect(Math.abs(said / 1.96 / found - 1)).toBeLessThan(0.05);
});

test.each([25, 80])("averages of four with the mean s of %i subgroups", (points) => {
  const found = scatter((next) => {
    const groups = Array.from({ length: points }, () => draw(next, 4));
    return meanOf(groups.map(meanOf)) + (3 * meanOf(groups.map(sOf))) / (c4(4) * 2);
  }, points + 2);
  const said = limitError({ half: 1.5, k: 3, points, runs: 4, basis: "chart" });
  expect(Math.abs(said / 1.96 / found - 1)).toBeLessThan(0.05);
});

test("a request that is none is a defect of the caller", () => {
  expect(() => limitError({ half: Number.NaN, k: 3, points: 30, runs: 1, basis: "chart" })).toThrow(RangeError);
  expect(() => limitError({ half: 1, k: 3, points: 1, runs: 1, basis: "chart" })).toThrow(RangeError);
});
