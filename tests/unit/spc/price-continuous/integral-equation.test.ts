import { expect, test } from "vitest";
import { ar1RunLength, movingRangeFalseShare } from "../../../../spc/price/ar1-run-length.ts";
import { cusumOneSidedRunLength, cusumRunLength } from "../../../../spc/price/cusum-run-length.ts";
import { cusumIntervalFor, ewmaWidthFor } from "../../../../spc/price/design.ts";
import { ewmaRunLength } from "../../../../spc/price/ewma-run-length.ts";
import { ewmaOneSidedRunLength } from "../../../../spc/price/ewma-run-length-one-sided.ts";
import { ewmaRunLengthQuantile } from "../../../../spc/price/ewma-run-length-quantile.ts";
import { fredholm, gaussLegendre } from "../../../../spc/price/integral-equation.ts";
import { shewhartRunLength } from "../../../../spc/price/shewhart-run-length.ts";

test("five nodes are those of the tables, and integrate a polynomial of degree nine exactly", () => {
  const { nodes, weights } = gaussLegendre(5, -1, 1);
  // Abramowitz and Stegun 1964, table 25.4 (from memory).
  expect([...nodes].map((x) => x.toFixed(12))).toEqual(
    [-0.906179845939, -0.538469310106, 0, 0.538469310106, 0.906179845939].map((x) => x.toFixed(12)),
  );
  expect(weights[2]).toBeCloseTo(0.568888888889, 12);
  const over = gaussLegendre(5, 0, 2);
  const integral = over.nodes.reduce((sum, x, i) => sum + over.weights[i]! * x ** 9, 0);
  expect(integral).toBeCloseTo(2 ** 10 / 10, 10);
});

test("weights of many nodes add up to the length of the interval", () => {
  for (const n of [1, 2, 48, 300, 800]) {
    const { nodes, weights } = gaussLegendre(n, -3, 4);
    expect(weights.reduce((sum, weight) => sum + weight, 0)).toBeCloseTo(7, 10);
    expect([...nodes].every((node, i) => node > -3 && node < 4 && (i === 0 || node > nodes[i - 1]!))).toBe(true);
  }
});

test("an integral equation with a known answer: f = x + integral of x y f(y) over 0 to 1 is 1.5 x", () => {
  const over = gaussLegendre(8, 0, 1);
  const f = fredholm(over, (x, y) => x * y)(over.nodes);
  f.forEach((value, i) => {
    expect(value).toBeCloseTo(1.5 * over.nodes[i]!, 12);
  });
});

test("an EWMA with lambda 1 is a Shewhart chart, in average, spread and quantile", () => {
  for (const shift of [0, 0.5, 2]) {
    const wanted = shewhartRunLength(3, shift);
    const p = 1 / wanted;
    for (const limits of ["exact", "asymptotic"] as const) {
      const found = ewmaRunLength({ lambda: 1, width: 3, limits }, shift);
      expect(found.average / wanted).toBeCloseTo(1, 9);
      expect(found.deviation / (Math.sqrt(1 - p) / p)).toBeCloseTo(1, 7);
    }
    const within = ewmaRunLengthQuantile(1, 3, 0.9, shift);
    expect(1 - (1 - p) ** within).toBeGreaterThanOrEqual(0.9 - 1e-9);
    expect(1 - (1 - p) ** (within - 1)).toBeLessThan(0.9);
  }
  expect(ewmaOneSidedRunLength(1, 3)).toBeCloseTo(2 * shewhartRunLength(3), 6);
});

test("a CUSUM that signals at the first point beyond k + h is a Shewhart chart with that limit when h is small", () => {
  expect(cusumRunLength({ k: 3 - 1e-9, h: 1e-9 })).toBeCloseTo(shewhartRunLength(3), 4);
});

test("without dependence the AR(1) run length is the closed form, and a far shift leaves one point", () => {
  expect(ar1RunLength(0, 3)).toBeCloseTo(shewhartRunLength(3), 8);
  expect(ar1RunLength(0, 3, 1)).toBeCloseTo(shewhartRunLength(3, 1), 9);
  expect(ar1RunLength(0.5, 3, 40)).toBeCloseTo(1, 9);
  expect(movingRangeFalseShare(0)).toBeCloseTo(1 / shewhartRunLength(3), 15);
});

test("a head start shortens the way to a signal, most when something is wrong from the start", () => {
  const plain = { lambda: 0.1, width: 2.814, limits: "exact" } as const;
  const fast = { ...plain, headStart: 0.5 };
  const share = (shift: number): number => ewmaRunLength(fast, shift).average / ewmaRunLength(plain, shift).average;
  expect(share(1)).toBeLessThan(0.8);
  expect(share(0)).toBeLessThan(1);
  expect(share(0)).toBeGreaterThan(share(1));
  const cusum = { k: 0.5, h: 4.77 };
  const start = { ...cusum, headStart: 2.385 };
  expect(cusumRunLength(start, 1) / cusumRunLength(cusum, 1)).toBeLessThan(0.7);
  expect(cusumRunLength(start) / cusumRunLength(cusum)).toBeGreaterThan(0.85);
});

test("run lengths stay right where the other side never signals, and one-sided ones where nothing does", () => {
  expect(cusumRunLength({ k: 0.5, h: 5, headStart: 2.5 }, 30)).toBe(1);
  expect(cusumOneSidedRunLength({ k: 0.5, h: 5 }, -3).average).toBeGreaterThan(1e15);
  expect(cusumOneSidedRunLength({ k: 0.5, h: 5 }, -60).average).toBeGreaterThan(1e15);
  expect(cusumRunLength({ k: 0.5, h: 5 }, -2)).toBeCloseTo(cusumRunLength({ k: 0.5, h: 5 }, 2), 12);
  expect(ewmaRunLength({ lambda: 0.2, width: 2.86, limits: "exact" }, 50).average).toBeCloseTo(1, 12);
});

test("designs come back as the run length they were asked for", () => {
  for (const runLength of [20, 370, 5000]) {
    const width = ewmaWidthFor(0.15, runLength);
    expect(ewmaRunLength({ lambda: 0.15, width, limits: "asymptotic" }).average / runLength).toBeCloseTo(1, 9);
    const h = cusumIntervalFor(0.4, runLength);
    expect(cusumRunLength({ k: 0.4, h }) / runLength).toBeCloseTo(1, 9);
  }
  const exact = ewmaWidthFor(0.3, 370, "exact");
  expect(exact).toBeGreaterThan(ewmaWidthFor(0.3, 370));
  expect(ewmaRunLength({ lambda: 0.3, width: exact, limits: "exact" }).average).toBeCloseTo(370, 6);
});

test("what cannot be meant is a defect in the caller", () => {
  const wrong = [
    () => gaussLegendre(0, 0, 1),
    () => gaussLegendre(2, 1, 0),
    () => ewmaRunLength({ lambda: 0, width: 3, limits: "exact" }),
    () => ewmaRunLength({ lambda: 0.2, width: Number.NaN, limits: "exact" }),
    () => ewmaRunLength({ lambda: 0.2, width: 3, limits: "exact", headStart: 1 }),
    () => ewmaRunLength({ lambda: 0.2, width: 3, limits: "exact" }, Number.POSITIVE_INFINITY),
    () => ewmaRunLengthQuantile(0.2, 3, 1),
    () => ewmaOneSidedRunLength(2, 3),
    () => cusumRunLength({ k: -0.1, h: 4 }),
    () => cusumRunLength({ k: 0.5, h: 4, headStart: 4 }),
    () => cusumOneSidedRunLength({ k: Number.NaN, h: 4 }),
    () => cusumOneSidedRunLength({ k: 0.5, h: 0 }),
    () => shewhartRunLength(0),
    () => shewhartRunLength(3, Number.NaN),
    () => shewhartRunLength(3, 0, 0),
    () => ar1RunLength(1, 3),
    () => ar1RunLength(0.5, 0),
    () => ar1RunLength(0.5, 3, Number.NaN),
    () => ewmaWidthFor(0.2, 5),
    () => cusumIntervalFor(0.5, Number.NaN),
    () => cusumIntervalFor(8, 100),
  ];
  for (const call of wrong) expect(call).toThrow(RangeError);
});

test("Siegmund's approximation lies within two in a hundred of the one-sided CUSUM", () => {
  // (exp(-2 D b) + 2 D b - 1) / (2 D^2), D = shift - k, b = h + 1.166; b^2 for D = 0 (Siegmund 1985, from memory).
  for (const shift of [0, 0.25, 0.5, 1, 1.5]) {
    const [d, b] = [shift - 0.5, 5 + 1.166];
    const near = d === 0 ? b * b : (Math.exp(-2 * d * b) + 2 * d * b - 1) / (2 * d * d);
    expect(Math.abs(cusumOneSidedRunLength({ k: 0.5, h: 5 }, shift).average / near - 1)).toBeLessThan(0.02);
  }
});
