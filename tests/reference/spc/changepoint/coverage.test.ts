import { expect, test } from "vitest";
import { changePointKnownCentre } from "../../../../spc/changepoint/known-centre.ts";
import type { SetConfidence } from "../../../../spc/changepoint/largest-drop.ts";
import { changePointUnknown } from "../../../../spc/changepoint/unknown-levels.ts";
import { normals } from "../../../property/spc/seeded.ts";

// Thresholds that the product stores were simulated with another generator; here they are put to the test.

/** Values up to a three-sigma chart's signal, the mean having moved after `before` of them; earlier signals thrown away. */
function stoppedSeries(before: number, shift: number, next: () => number): number[] {
  for (;;) {
    const values: number[] = [];
    for (;;) {
      const value = next() + (values.length >= before ? shift : 0);
      values.push(value);
      if (Math.abs(value) > 3) break;
    }
    if (values.length > before) return values;
  }
}

/** Share of confidence sets that hold the true place. */
function coverage(before: number, shift: number, confidence: SetConfidence, trials: number, seed: number): number {
  const next = normals(seed);
  let held = 0;
  for (let trial = 0; trial < trials; trial += 1) {
    const found = changePointKnownCentre(stoppedSeries(before, shift, next), 0, 1, undefined, confidence);
    if (!found.ok) throw new Error(found.refusal.detail);
    if (found.value.set.includes(before)) held += 1;
  }
  return held / trials;
}

test.each([0.9, 0.95, 0.99] as const)(
  "a set of confidence %d holds the true place as often where it was calibrated",
  (p) => {
    const trials = 5000;
    const standardError = Math.sqrt((p * (1 - p)) / trials);
    expect(Math.abs(coverage(100, 0.5, p, trials, 17) - p)).toBeLessThan(4 * standardError);
  },
);

test.each([
  [10, 0.5],
  [30, 1],
  [100, 2],
])(
  "after %d values and for a shift of %d sigma a set of confidence 0.95 holds the true place at least so often",
  (before, shift) => {
    const trials = 2000;
    expect(coverage(before, shift, 0.95, trials, 18)).toBeGreaterThan(0.95 - 4 * Math.sqrt((0.95 * 0.05) / trials));
  },
);

/** Share of series without a change that are said to have one. */
function falseFinds(n: number, level: 0.05 | 0.01 | 0.001, trials: number, phi: number): number {
  const next = normals(1000 * n + 3);
  const values = new Float64Array(n);
  let found = 0;
  for (let trial = 0; trial < trials; trial += 1) {
    let before = next() / Math.sqrt(1 - phi * phi);
    for (let i = 0; i < n; i += 1) {
      before = phi * before + next();
      values[i] = before;
    }
    if (changePointUnknown(values, level).ok) found += 1;
  }
  return found / trials;
}

// 13, 70 and 1,500 lie between the counts that were simulated.
test.each([
  [10, 10_000],
  [13, 10_000],
  [30, 10_000],
  [70, 5000],
  [200, 3000],
  [1500, 1000],
])("a series of %d independent values is said to have changed as often as stated", (n, trials) => {
  for (const level of [0.05, 0.01] as const) {
    const standardError = Math.sqrt((level * (1 - level)) / trials);
    expect(Math.abs(falseFinds(n, level, trials, 0) - level)).toBeLessThan(4 * standardError);
  }
});

test.each([
  [100, 0.3],
  [200, 0.5],
  [500, 0.7],
])("in %d values whose lag 1 is %d a change is found a few times in a hundred at most", (n, phi) => {
  expect(falseFinds(n, 0.01, 1000, phi)).toBeLessThan(0.05);
});
