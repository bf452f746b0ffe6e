import { expect, test } from "vitest";
import { flagsByChance, pairRunLength } from "../../../../spc/rules/chance.ts";
import type { Rule } from "../../../../spc/rules/rule.ts";
import { ruleById } from "../../../../spc/rules/rule.ts";
import { averageRunLength } from "../../../../spc/rules/run-length.ts";
import { normals } from "../../../property/spc/seeded.ts";
import { referenceData, relativeError } from "../data.ts";

const limit = ruleById("beyond-limit");
const nine = ruleById("nine-on-one-side");
const window = (hits: number, of: number, beyond: number): Rule => ({
  id: `${hits}-of-${of}-beyond-${beyond}`,
  kind: "window",
  on: ["location"],
  hits,
  of,
  beyond,
});

/** The sets of the reference table that our rows can say; the others have limits elsewhere than at three sigma. */
const sets: Record<string, readonly Rule[]> = {
  C1: [limit],
  C12: [limit, window(2, 3, 2)],
  C13: [limit, window(4, 5, 1)],
  C14: [limit, window(8, 8, 0)],
  C123: [limit, window(2, 3, 2), window(4, 5, 1)],
  C124: [limit, window(2, 3, 2), window(8, 8, 0)],
  C134: [limit, window(4, 5, 1), window(8, 8, 0)],
  C1234: [limit, window(2, 3, 2), window(4, 5, 1), window(8, 8, 0)],
  C15: [limit, window(2, 2, 2)],
  C16: [limit, window(5, 5, 1)],
  C156: [limit, window(2, 2, 2), window(5, 5, 1)],
  ISO_1_7: [limit, window(7, 7, 0)],
  N12_nine: [limit, nine],
  only_2of3: [window(2, 3, 2)],
  only_4of5: [window(4, 5, 1)],
  only_7run: [window(7, 7, 0)],
  only_8run: [window(8, 8, 0)],
  only_9run: [nine],
};

const table = referenceData<{ set: string; shift: number; exact: number; printed?: number }[]>("run-lengths");

test.each(Object.keys(sets))(
  "average run lengths of %s under every shift are those of a separate Markov chain",
  (set) => {
    const rows = table.filter((row) => row.set === set);
    expect(rows.length).toBeGreaterThanOrEqual(9);
    for (const { shift, exact, printed } of rows) {
      const found = averageRunLength(sets[set]!, shift);
      expect(relativeError(found, exact), `${set} at ${shift}`).toBeLessThan(1e-6);
      if (printed !== undefined) expect(found.toFixed(2)).toBe(printed.toFixed(2));
    }
  },
);

test("the two rules in use give 370.40 and 216.70 (Champ and Woodall 1987, Technometrics 29:393-399, from memory)", () => {
  expect(averageRunLength([limit]).toFixed(2)).toBe("370.40");
  expect(averageRunLength([limit, nine]).toFixed(2)).toBe("216.70");
  expect(averageRunLength([nine])).toBeCloseTo(2 ** 9 - 1, 6);
});

test("the pair's run length is that of our own simulation, 88 points and not 217, for the range fires as well", () => {
  const trials = 20_000;
  const simulated = simulate(trials);
  const found = pairRunLength([limit, nine], [limit]);
  expect(Math.abs(found - simulated.mean)).toBeLessThan(4 * simulated.standardError);
  expect(Math.abs(found - 216.7)).toBeGreaterThan(100);
});

test("chance flags grow with the points, and a basis that drops run rules gives fewer", () => {
  const both = { rules: ["beyond-limit", "nine-on-one-side"], basis: "chart" } as const;
  expect(flagsByChance(0, both)).toBe(0);
  expect(flagsByChance(200, both)).toBeCloseTo(2 * flagsByChance(100, both), 12);
  expect(flagsByChance(100, both)).toBeCloseTo(100 / pairRunLength([limit, nine], [limit]), 12);
  expect(flagsByChance(100, { ...both, basis: "overall" })).toBeCloseTo(100 / pairRunLength([limit], [limit]), 12);
  expect(flagsByChance(100, { rules: ["nine-on-one-side"], basis: "chart" })).toBeCloseTo(100 / 511, 9);
  expect(flagsByChance(100, { rules: [], basis: "chart" })).toBe(0);
});

/** Plain loop over the definitions, with nothing of the product in it but the constants' closed forms. */
function simulate(trials: number): { mean: number; standardError: number } {
  const next = normals(20261125);
  const farthest = 2 / Math.sqrt(Math.PI) + 3 * Math.sqrt(2 - 4 / Math.PI);
  let sum = 0;
  let squares = 0;
  for (let trial = 0; trial < trials; trial += 1) {
    let points = 0;
    let last = Number.NaN;
    let alike = 0;
    for (;;) {
      const x = next();
      points += 1;
      alike = Math.sign(x) === Math.sign(last) ? alike + 1 : 1;
      if (Math.abs(x) > 3 || Math.abs(x - last) > farthest || alike >= 9) break;
      last = x;
    }
    sum += points;
    squares += points * points;
  }
  const mean = sum / trials;
  return { mean, standardError: Math.sqrt((squares / trials - mean * mean) / trials) };
}
