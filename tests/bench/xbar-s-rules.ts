import { alternating, type Bench } from "./bench.ts";
import { judged, marked, pourSeries, timed } from "./xbar-s-series.ts";

const subgroups = 1_000_000;
const rounds = 9;
const warm = 8;

/** Averages and s with all eight rules over a million subgroups of five, against a bare sum of the same values. */
export const xbarSRules: Bench = {
  name: "xbar-s-rules",
  run: async (note) => {
    const data = pourSeries(subgroups);
    for (let i = 0; i < warm; i += 1) note(`${marked(judged(data))} places marked, ${sum(data.values)} in all`);
    const { ours, baseline, raw } = await alternating(rounds, async (ourFirst) => {
      const took = { ours: 0, baseline: 0 };
      const work = { ours: () => judged(data), baseline: () => sum(data.values) };
      const order = ["ours", "baseline"] as const;
      for (const name of ourFirst ? order : order.toReversed()) took[name] = timed(work[name]);
      return took;
    });
    note(`rounds in ms: ${JSON.stringify(raw)}`);
    for (const count of [2_000, 20_000, 200_000, 2_000_000]) {
      const grown = pourSeries(count);
      const repeats = Math.max(1, Math.floor(200_000 / count));
      const ms = Math.min(...Array.from({ length: 5 }, () => timed(() => repeated(repeats, grown)) / repeats));
      note(`${count * 5} values: ${ms.toFixed(2)} ms, ${((ms * 1e6) / (count * 5)).toFixed(1)} ns a value`);
    }
    return { name: "xbar-s-rules", ours, baseline, unit: "ms", ratio: ours / baseline, better: "lower", ask: 25 };
  },
};

function repeated(times: number, data: Parameters<typeof judged>[0]): void {
  for (let i = 0; i < times; i += 1) judged(data);
}

function sum(values: Float64Array): number {
  let all = 0;
  for (let i = 0; i < values.length; i += 1) all += values[i]!;
  return all;
}
