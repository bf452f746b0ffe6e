import fc from "fast-check";
import { Matrix, solve } from "ml-matrix";
import { expect, test } from "vitest";
import { normalCdf } from "../../../../spc/library/normal.ts";
import { simulatedRunLength } from "../../../../spc/price/simulated-run-length.ts";
import type { Rule } from "../../../../spc/rules/rule.ts";
import { ruleById } from "../../../../spc/rules/rule.ts";
import { FIRES, ruleChain } from "../../../../spc/rules/rule-chain.ts";
import { chanceWithin, rulesRunLength } from "../../../../spc/rules/run-length.ts";

const window: fc.Arbitrary<Rule> = fc
  .record({ of: fc.integer({ min: 1, max: 5 }), less: fc.nat(2), beyond: fc.constantFrom(0, 0.5, 1, 1.96, 2) })
  .map(({ of, less, beyond }) => ({
    id: "w",
    kind: "window",
    on: ["location"],
    hits: Math.max(1, of - less),
    of,
    beyond,
  }));
const inside: fc.Arbitrary<Rule> = fc
  .integer({ min: 2, max: 8 })
  .map((points) => ({ id: "i", kind: "inside", on: ["location"], points, within: 1 }));
const outside: fc.Arbitrary<Rule> = fc
  .record({ points: fc.integer({ min: 2, max: 5 }), sides: fc.constantFrom("both" as const, "any" as const) })
  .map(({ points, sides }) => ({ id: "o", kind: "outside", on: ["location"], points, beyond: 1, sides }));
const sets = fc
  .array(fc.oneof({ weight: 3, arbitrary: window }, inside, outside), { maxLength: 2 })
  .map((rows): readonly Rule[] => [ruleById("beyond-limit"), ...rows]);
const shifts = fc.constantFrom(0, 0.3, -1, 2.5);

test("summed survival gives mean and deviation of the dense system of the same chain", () => {
  fc.assert(
    fc.property(sets, shifts, (rules, shift) => {
      const { zones, states, next } = ruleChain(rules);
      fc.pre(states <= 150);
      const matrix = Matrix.eye(states, states);
      zones.forEach(({ lower, upper }, zone) => {
        const chance = normalCdf(upper - shift) - normalCdf(lower - shift);
        for (let from = 0; from < states; from += 1) {
          const to = next[from * zones.length + zone]!;
          if (to !== FIRES) matrix.set(from, to, matrix.get(from, to) - chance);
        }
      });
      const means = solve(matrix, Matrix.ones(states, 1));
      // E[T^2] = 1 + 2 E[T after] + E[T after^2], and E[T after] = E[T] - 1.
      const squares = solve(matrix, Matrix.sub(Matrix.mul(means, 2), 1));
      const mean = means.get(0, 0);
      const found = rulesRunLength(rules, { shift });
      expect(Math.abs(found.mean / mean - 1)).toBeLessThan(1e-9);
      expect(Math.abs(found.sd - Math.sqrt(squares.get(0, 0) - mean ** 2))).toBeLessThan(1e-7 * mean);
    }),
    { numRuns: 60 },
  );
});

test("the sides of a chart are alike, and chances within more points never fall", () => {
  fc.assert(
    fc.property(sets, shifts, (rules, shift) => {
      const up = rulesRunLength(rules, { shift });
      const down = rulesRunLength(rules, { shift: -shift });
      expect(Math.abs(up.mean / down.mean - 1)).toBeLessThan(1e-9);
      const chances = [0, 1, 2, 5, 20, 100].map((points) => chanceWithin(rules, points, { shift }));
      expect([...chances].sort((a, b) => a - b)).toEqual(chances);
      for (const chance of chances) expect(chance >= 0 && chance <= 1).toBe(true);
    }),
    { numRuns: 40 },
  );
});

test("lines drawn too narrow or too wide cost what a simulation on them costs", () => {
  fc.assert(
    fc.property(sets, fc.constantFrom(0.8, 1.1), fc.integer(), (rules, scale, seed) => {
      const found = rulesRunLength(rules, { scale, shift: 0.5 });
      const simulated = simulatedRunLength(rules, { scale, shift: 0.5 }, { trials: 2000, seed });
      // Ten sets, each with a chance of one in two million to lie this far off.
      expect(Math.abs(simulated.mean - found.mean)).toBeLessThan(5 * simulated.standardError + 1e-9);
    }),
    { numRuns: 10, seed: 20261125 },
  );
});
