import { expect, test } from "vitest";
import { plantScore } from "../../score/plant-score.ts";
import { pooled } from "../../score/pooled.ts";

// A small share of the score, so that nothing which blinds the product can pass. Seeds are fixed: what is asked is far
// enough from what they give that no luck is in it. The whole of it is `npm run -s score`.

/** A minute on a machine of its own, many on one that is shared. */
const patient = 1_500_000;

test(
  "of four plants of two days, from the run model, what is large enough is found in time and for what it is",
  async () => {
    const scores = [];
    for (const seed of [61, 62, 63, 64]) {
      scores.push(await plantScore({ seed, days: 2, faults: "random", depth: "runs" }));
    }
    const { summary, kinds, chance, characteristics } = pooled(scores);
    expect(summary.injected).toBeGreaterThan(60);
    expect(summary.foundShare).toBeGreaterThan(0.93);
    expect(summary.processAsSensor).toBeLessThan(5);
    expect(summary.confusion).toBeLessThan(0.15);
    expect(summary.undecided / summary.found).toBeLessThan(0.1);
    for (const { fault, injected, found } of kinds)
      expect([fault, injected > 5 && found < injected / 2]).toEqual([fault, false]);
    // Some hundred expected points: within a third is within four standard errors.
    for (const { rule, process, ratio, expected } of chance) {
      if (process === "near-normal" && expected > 100)
        expect([rule, Math.abs(Math.log(ratio as number)) < 0.35]).toEqual([rule, true]);
    }
    expect(summary.chanceExpected).toBeGreaterThan(50);
    expect(characteristics.length).toBeGreaterThan(15);
  },
  patient,
);
