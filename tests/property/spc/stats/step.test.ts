import { expect, test } from "vitest";
import { findStep } from "../../../../spc/stats/step.ts";
import { normals } from "../seeded.ts";

/** AR(1) with unit variance, and a step of `size` sigma at 60 % of the way. */
function series(next: () => number, n: number, lag: number, size: number): number[] {
  let level = next();
  return Array.from({ length: n }, (_, i) => {
    const value = level + (i >= 0.6 * n ? size : 0);
    level = lag * level + Math.sqrt(1 - lag * lag) * next();
    return value;
  });
}
function share(n: number, lag: number, size: number, trials: number): number {
  const next = normals(1000 * n + 100 * lag);
  let found = 0;
  for (let trial = 0; trial < trials; trial += 1) if (findStep(series(next, n, lag, size)) !== null) found += 1;
  return found / trials;
}

/** Four standard errors of a share near 2 % in 2,000 trials. */
const slack = 4 * Math.sqrt((0.02 * 0.98) / 2000);

test.each([
  [100, 0, 0.01],
  [300, 0, 0.01],
  [100, 0.225, 0.02],
  [100, 0.45, 0.022],
  [300, 0.45, 0.014],
])("%i values with lag-1 %d and no step: a step is found in a share of about %d", (n, lag, expected) => {
  expect(Math.abs(share(n, lag, 0, 2000) - expected)).toBeLessThan(slack);
});

test("a step of 1.5 sigma among 100 values is found nearly always, near its place and with its levels", () => {
  expect(share(100, 0, 1.5, 500)).toBeGreaterThan(0.98);
  expect(share(100, 0.3, 1.5, 500)).toBeGreaterThan(0.9);
  const step = findStep(series(normals(5), 300, 0, 3))!;
  expect(Math.abs(step.at - 180)).toBeLessThanOrEqual(3);
  expect(step.after - step.before).toBeGreaterThan(2.6);
  expect(step.after - step.before).toBeLessThan(3.4);
});

test("too few values, or none that vary around the levels, show no step", () => {
  expect(findStep(Array.from({ length: 19 }, (_, i) => (i < 10 ? i % 2 : 100 + (i % 2))))).toBeNull();
  expect(findStep(Array.from({ length: 50 }, () => 3))).toBeNull();
});

test("something slow beneath measurement noise, whose lag-1 says little of it, is no step", () => {
  const next = normals(77);
  let found = 0;
  for (let trial = 0; trial < 300; trial += 1) {
    const slow = series(next, 336, 0.9, 0);
    if (findStep(slow.map((value) => 0.83 * value + 0.56 * next())) !== null) found += 1;
  }
  // By AR(1) of its lag-1 alone, 0.62, a third of them are.
  expect(found / 300).toBeLessThan(0.2);
});
