import { expect, test } from "vitest";
import { noPeers, peerDrift } from "../../../../spc/health/peer-drift.ts";
import { normals } from "../seeded.ts";

const plan = { within: 0.3, unit: "Cel" };

/** Levels of three places over so many runs, each with its own sigma of 0.075 K; the first drifts by so much a run. */
function verdicts(seed: number, runs: number, drift: number): readonly (string | undefined)[] {
  const next = normals(seed);
  let state = noPeers;
  return Array.from({ length: runs }, (_, run) => {
    const [a, b, c] = [0.075 * next() + drift * run, 0.075 * next() + 0.8, 0.075 * next() - 0.5];
    const step = peerDrift(state, [a - b, a - c], plan);
    state = step.state;
    return step.finding?.verdict;
  });
}

test("healthy places are called so in no run of 200,000, where what matters is four of their sigma", () => {
  let looked = 0;
  for (let seed = 1; seed <= 200; seed += 1) {
    const said = verdicts(seed, 1_000, 0);
    looked += said.length;
    expect(said.filter((one) => one === "fault" || one === "undecided")).toEqual([]);
  }
  expect(looked).toBe(200_000);
});

test("a thermocouple that drifts by 0.0375 K a load, 0.15 K a day, is found within 24 loads of where it matters", () => {
  for (let seed = 1; seed <= 200; seed += 1) {
    const said = verdicts(seed, 60, 0.0375);
    // 0.3 K is reached 8 loads after the middle of the first eight.
    const found = said.indexOf("fault");
    expect(found).toBeGreaterThan(8);
    expect(found).toBeLessThan(8 + 28);
  }
});
