import { expect, test } from "vitest";
import { heightAt, leastSquaresLine, type Pair, robustLine, scatterAboutLine } from "../../../../spc/stats/line.ts";

const gaveOf = <T>(outcome: { ok: true; value: T } | { ok: false; refusal: { code: string } }): T => {
  if (!outcome.ok) throw new Error(outcome.refusal.code);
  return outcome.value;
};

// NIST StRD, linear regression, data set Norris (lower difficulty); data and certified values from memory of the published
// file: B0 -0.262323073774029, B1 1.00211681802045, residual standard deviation 0.884796396144373.
const norris: readonly Pair[] = [
  [0.2, 0.1],
  [337.4, 338.8],
  [118.2, 118.1],
  [884.6, 888.0],
  [10.1, 9.2],
  [226.5, 228.1],
  [666.3, 668.5],
  [996.3, 998.5],
  [448.6, 449.1],
  [777.0, 778.9],
  [558.2, 559.2],
  [0.4, 0.3],
  [0.6, 0.1],
  [775.5, 778.1],
  [666.9, 668.8],
  [338.0, 339.3],
  [447.5, 448.9],
  [11.6, 10.8],
  [556.0, 557.7],
  [228.1, 228.3],
  [995.8, 998.0],
  [887.6, 888.8],
  [120.2, 119.6],
  [0.3, 0.3],
  [0.3, 0.6],
  [556.8, 557.6],
  [339.1, 339.3],
  [887.2, 888.0],
  [999.0, 998.5],
  [779.0, 778.9],
  [11.1, 10.2],
  [118.3, 117.6],
  [229.2, 228.9],
  [669.1, 668.4],
  [448.9, 449.2],
  [0.5, 0.2],
];

test("least squares agrees with the certified line of NIST's Norris data", () => {
  const line = gaveOf(leastSquaresLine(norris));
  expect(line.slope).toBeCloseTo(1.00211681802045, 12);
  expect(heightAt(line, 0)).toBeCloseTo(-0.262323073774029, 10);
  expect(gaveOf(scatterAboutLine(norris))).toBeCloseTo(0.884796396144373, 11);
});

// Sen (1968) states the estimator as the median of the pairwise slopes; the numbers follow by hand:
// slopes of (0,1) (1,3) (2,5) (3,100): 2, 2, 33, 2, 48.5, 95; sorted 2 2 2 33 48.5 95: median 17.5.
test("the robust line is the median of the slopes of all pairs", () => {
  const four: readonly Pair[] = [
    [0, 1],
    [1, 3],
    [2, 5],
    [3, 100],
  ];
  expect(gaveOf(robustLine(four)).slope).toBe(17.5);
  const five: readonly Pair[] = [...four, [4, 9], [5, 11], [6, 13]];
  // Of 21 slopes 15 are 2.
  expect(gaveOf(robustLine(five)).slope).toBe(2);
  expect(heightAt(gaveOf(robustLine(five)), 10)).toBe(21);
});

test("a line needs two places, and scatter three points", () => {
  expect(leastSquaresLine([])).toMatchObject({ refusal: { code: "too-few" } });
  expect(
    leastSquaresLine([
      [1, 2],
      [1, 3],
    ]),
  ).toMatchObject({ refusal: { code: "too-few" } });
  expect(
    robustLine([
      [1, 2],
      [1, 3],
    ]),
  ).toMatchObject({ refusal: { code: "too-few" } });
  expect(
    scatterAboutLine([
      [1, 2],
      [2, 3],
    ]),
  ).toMatchObject({ refusal: { code: "too-few" } });
  expect(
    leastSquaresLine([
      [0, 1e308],
      [1, -1e308],
    ]),
  ).toMatchObject({ refusal: { code: "not-finite" } });
});
