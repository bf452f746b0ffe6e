import { expect, test } from "vitest";
import { seededNormals } from "../../../../spc/price/simulated-generator.ts";
import { simulatedRunLength } from "../../../../spc/price/simulated-run-length.ts";
import { ruleById } from "../../../../spc/rules/rule.ts";

const take = (seed: number, count: number): readonly number[] => {
  const next = seededNormals(seed);
  return Array.from({ length: count }, () => next());
};

test("the same seed gives the same numbers, another seed others", () => {
  expect(take(1, 50)).toEqual(take(1, 50));
  expect(take(1, 50)).not.toEqual(take(2, 50));
});

test("the numbers are standard normal and do not depend on each other", () => {
  const n = 200_000;
  const values = take(20261125, n);
  const mean = (of: (x: number, i: number) => number): number => values.reduce((sum, x, i) => sum + of(x, i), 0) / n;
  const near = (found: number, expected: number, sd: number): void =>
    expect(Math.abs(found - expected)).toBeLessThan((4 * sd) / Math.sqrt(n));
  near(
    mean((x) => x),
    0,
    1,
  );
  near(
    mean((x) => x * x),
    1,
    Math.sqrt(2),
  );
  near(
    mean((x) => x ** 4),
    3,
    Math.sqrt(96),
  );
  near(
    mean((x) => (Math.abs(x) > 3 ? 1 : 0)),
    0.0026998,
    Math.sqrt(0.0027),
  );
  for (const lag of [1, 2, 3])
    near(
      mean((x, i) => x * (values[i + lag] ?? 0)),
      0,
      1,
    );
});

test("a simulation is the same whenever it is run, and refuses what cannot be meant", () => {
  const rules = [ruleById("beyond-limit"), ruleById("six-in-one-direction")];
  const one = simulatedRunLength(rules, {}, { trials: 200, seed: 5 });
  expect(simulatedRunLength(rules, {}, { trials: 200, seed: 5 }).mean).toBe(one.mean);
  expect(one.within(0)).toBe(0);
  expect(one.within(1e9)).toBe(1);
  expect(() => simulatedRunLength([], {}, { trials: 200, seed: 5 })).toThrow(RangeError);
  expect(() => simulatedRunLength(rules, {}, { trials: 1, seed: 5 })).toThrow(RangeError);
});
