import { expect, test } from "vitest";
import { flagsByChance } from "../../../../spc/price/pair-price.ts";
import { pairRunLengthSteps } from "../../../../spc/rules/chance.ts";
import type { Rule } from "../../../../spc/rules/rule.ts";
import { ruleById } from "../../../../spc/rules/rule.ts";
import { averageRunLength, rulesRunLength } from "../../../../spc/rules/run-length.ts";
import { drained } from "../../../drained.ts";
import { normals } from "../../../property/spc/seeded.ts";
import { reference } from "../../ledger/reference.ts";
import { printed } from "../../ledger/tolerance.ts";

const pairRunLength = (...asked: Parameters<typeof pairRunLengthSteps>) => drained(pairRunLengthSteps(...asked));
const limit = ruleById("beyond-limit");
const nine = ruleById("nine-on-one-side");
const eight = ruleById("eight-on-one-side");
const seven = ruleById("seven-on-one-side");
const twoOfThree = ruleById("two-of-three-beyond-two-sigma");
const fourOfFive = ruleById("four-of-five-beyond-one-sigma");
const window = (hits: number, of: number, beyond: number): Rule => ({
  id: `${hits}-of-${of}-beyond-${beyond}`,
  kind: "window",
  on: ["location"],
  hits,
  of,
  beyond,
});

/** The sets of the published table as our rows, and where their limits stand. */
const sets: Record<string, { readonly rules: readonly Rule[]; readonly limit?: number }> = {
  C1: { rules: [limit] },
  C12: { rules: [limit, twoOfThree] },
  C13: { rules: [limit, fourOfFive] },
  C14: { rules: [limit, eight] },
  C123: { rules: [limit, twoOfThree, fourOfFive] },
  C124: { rules: [limit, twoOfThree, eight] },
  C134: { rules: [limit, fourOfFive, eight] },
  C1234: { rules: [limit, twoOfThree, fourOfFive, eight] },
  C15: { rules: [limit, window(2, 2, 2)] },
  C16: { rules: [limit, window(5, 5, 1)] },
  C156: { rules: [limit, window(2, 2, 2), window(5, 5, 1)] },
  C7: { rules: [limit], limit: 3.09 },
  C78: { rules: [limit, window(2, 3, 1.96)], limit: 3.09 },
  C79: { rules: [limit, eight], limit: 3.09 },
  C789: { rules: [limit, window(2, 3, 1.96), eight], limit: 3.09 },
  ISO_1_7: { rules: [limit, seven] },
  N12_nine: { rules: [limit, nine] },
  N1256: { rules: [limit, nine, twoOfThree, fourOfFive] },
  only_2of3: { rules: [twoOfThree] },
  only_4of5: { rules: [fourOfFive] },
  only_7run: { rules: [seven] },
  only_8run: { rules: [eight] },
  only_9run: { rules: [nine] },
};

const records = reference("arl_run_rules.csv", ["shift_sigma"]);

test.each(Object.entries(sets))(
  "run lengths of %s under every shift are those of a separate Markov chain",
  (set, of) => {
    const own = records.filter((record) => record.get<string>("set") === set);
    expect(own.length).toBeGreaterThanOrEqual(9);
    for (const record of own) {
      const shift = Number(record.get("shift_sigma"));
      const found = rulesRunLength(of.rules, { ...of, shift });
      record.check("arl_exact", found.mean, printed(6));
      record.check("sdrl_exact", found.sd, printed(6));
      if (record.get("arl_printed") !== "") record.check("arl_printed", found.mean, printed(2));
    }
  },
);

test("every row of the table belongs to a set that our rows can say", () => {
  expect(records.filter((record) => !(record.get<string>("set") in sets))).toEqual([]);
});

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
