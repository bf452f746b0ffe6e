import { Matrix, solve } from "ml-matrix";
import { priceOf } from "../../spc/price/rules-price.ts";
import { ruleIds } from "../../spc/rules/rule-ids.ts";
import { alternating, type Bench } from "./bench.ts";
import { timed } from "./xbar-s-series.ts";

const rounds = 9;
const places = 20;

/** Beyond the limit, nine on one side, two of three and four of five: a chain of some hundred states. */
const rules = [ruleIds[0], ruleIds[1], ruleIds[4], ruleIds[5]];

/** Microseconds for one price at a place of the slider not visited before, against one dense system of 100 equations. */
export const priceSlider: Bench = {
  name: "price-slider",
  run: async (note) => {
    let visited = 0;
    const next = (): number => 1 + (visited++ % 997) / 1000;
    const price = (shift: number, which: readonly string[] = rules) => priceOf(which, { pointsAWeek: 1000, shift });
    const system = Matrix.rand(100, 100, { random: Math.random });
    const right = Matrix.ones(100, 1);
    note(`first price of a set of rules: ${timed(() => price(0.5)).toFixed(1)} ms, with its chain`);
    for (let i = 0; i < 30; i += 1) price(next());
    for (let i = 0; i < 30; i += 1) solve(system, right);
    const each = (work: () => unknown): number => {
      const ms = timed(() => {
        for (let i = 0; i < places; i += 1) work();
      });
      return (ms * 1000) / places;
    };
    const { ours, baseline, raw } = await alternating(rounds, async (ourFirst) => {
      const took = { ours: 0, baseline: 0 };
      const work = { ours: () => price(next()), baseline: () => solve(system, right) };
      const order = ["ours", "baseline"] as const;
      for (const name of ourFirst ? order : order.toReversed()) took[name] = each(work[name]);
      return took;
    });
    note(`rounds in microseconds: ${JSON.stringify(raw)}`);
    note(`a place visited before: ${each(() => price(1)).toFixed(1)} microseconds`);
    const six = ruleIds.filter((id) => id !== "six-in-one-direction" && id !== "fourteen-alternating");
    note(`six rules without steps: first ${timed(() => price(1, six)).toFixed(0)} ms with its chain,`);
    note(`then ${timed(() => price(1.1, six)).toFixed(1)} ms a place`);
    note(`all eight, simulated: first ${timed(() => price(1, ruleIds)).toFixed(0)} ms,`);
    note(`then ${timed(() => price(1.1, ruleIds)).toFixed(0)} ms a place, and nothing a place visited before`);
    return { name: "price-slider", ours, baseline, unit: "us", ratio: ours / baseline, better: "lower", ask: null };
  },
};
