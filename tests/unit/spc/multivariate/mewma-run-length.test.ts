import { expect, test } from "vitest";
import { chiSquareCdf } from "../../../../spc/library/chi-square.ts";
import { normalDensity } from "../../../../spc/library/normal.ts";
import { ewmaWidthFor } from "../../../../spc/price/design.ts";
import { noncentralDensity } from "../../../../spc/price/mewma-kernel.ts";
import { mewmaLimitFor, mewmaRunLength } from "../../../../spc/price/mewma-run-length.ts";

test("the kernel of one component is that of two normals, folded", () => {
  for (const [x, d] of [
    [0.3, 0],
    [2, 4],
    [50, 64],
    [4900, 5000],
    [1e-8, 2],
  ] as const) {
    const [root, mean] = [Math.sqrt(x), Math.sqrt(d)];
    const folded = (normalDensity(root - mean) + normalDensity(root + mean)) / (2 * root);
    expect(noncentralDensity(x, d, 1) / folded).toBeCloseTo(1, 10);
  }
});

test("the kernel is a density: it sums up to one, with the mean p + d", () => {
  for (const [p, d] of [
    [2, 3],
    [3, 0],
    [5, 40],
    [20, 7],
  ] as const) {
    const step = 0.001;
    let total = 0;
    let mean = 0;
    for (let root = step / 2; root < 25; root += step) {
      const mass = noncentralDensity(root * root, d, p) * 2 * root * step;
      total += mass;
      mean += mass * root * root;
    }
    expect(total).toBeCloseTo(1, 6);
    expect(mean).toBeCloseTo(p + d, 4);
  }
  expect(noncentralDensity(0, 3, 2)).toBeCloseTo(0.5 * Math.exp(-1.5), 14);
  expect(noncentralDensity(0, 3, 3)).toBe(0);
});

test("without memory it is a chart of single points", () => {
  for (const p of [1, 2, 7]) {
    expect(mewmaRunLength(p, 1, 11)).toBeCloseTo(1 / (1 - chiSquareCdf(11, p)), 6);
    expect(1 / (1 - chiSquareCdf(mewmaLimitFor(p, 1, 370.4), p))).toBeCloseTo(370.4, 6);
  }
});

test("with one component it is an EWMA, whose width is its square root", () => {
  for (const lambda of [0.1, 0.4]) {
    expect(Math.sqrt(mewmaLimitFor(1, lambda, 370.4))).toBeCloseTo(ewmaWidthFor(lambda, 370.4), 8);
  }
});

test("what is no chart is a defect", () => {
  for (const bad of [0, 1.1, Number.NaN]) expect(() => mewmaRunLength(2, bad, 9)).toThrow(RangeError);
  for (const bad of [0, 2.5, Number.NaN]) expect(() => mewmaRunLength(bad, 0.2, 9)).toThrow(RangeError);
  for (const bad of [0, -1, Number.POSITIVE_INFINITY]) expect(() => mewmaRunLength(2, 0.2, bad)).toThrow(RangeError);
  for (const bad of [9, 1e8, Number.NaN]) expect(() => mewmaLimitFor(2, 0.2, bad)).toThrow(RangeError);
});
