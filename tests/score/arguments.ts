import { parseArgs } from "node:util";
import type { Asked } from "./plant-score.ts";

export interface Wanted extends Omit<Asked, "seed"> {
  readonly seeds: readonly number[];
  readonly json: boolean;
}

export const usage = `npm run -s score -- --seed N[-M] [--days D] [--script 30-day | --faults random | --faults none] [--depth full | --depth runs] [--json]

Drives the simulated plant through the product's own pipeline, beside a twin without the faults, and compares what was
found with what truly was. Faults, places, times and sizes follow from the seed.

  --seed N        which plant; N-M for several one after the other
  --days D        how long; 2 unless told, and 30 with the script
  --faults        random (unless told) or none: fault-free days, for the chance of signals
  --script 30-day the thirty days of the simulator's script
  --depth         full (unless told): from payloads; runs: from the run model's features, without readings
  --json          one object on standard output

Each seed's result is kept in test-results/score and pooled with those of the same days, faults and depth.`;

export function wantedOf(words: readonly string[]): Wanted | { readonly mistake: string } {
  const options = {
    seed: { type: "string" },
    days: { type: "string" },
    script: { type: "string" },
    faults: { type: "string" },
    depth: { type: "string" },
    json: { type: "boolean" },
  } as const;
  let values: ReturnType<typeof parseArgs<{ options: typeof options }>>["values"];
  try {
    ({ values } = parseArgs({ args: [...words], options }));
  } catch (error) {
    return { mistake: (error as Error).message };
  }
  const [, first = "", , last = first] = /^(\d{1,9})(-(\d{1,9}))?$/.exec(values.seed ?? "") ?? [];
  const [from, to] = [Number(first), Number(last)];
  if (first === "" || to < from || to - from > 999) {
    return { mistake: `--seed: found ${values.seed ?? "nothing"}, expected a whole number, or two such as 101-140` };
  }
  const script = values.script;
  if (script !== undefined && script !== "30-day") return { mistake: `--script: found ${script}, expected 30-day` };
  const faults = script ?? values.faults ?? "random";
  if (script !== undefined && values.faults !== undefined)
    return { mistake: "--script and --faults exclude each other" };
  if (faults !== "random" && faults !== "none" && faults !== "30-day") {
    return { mistake: `--faults: found ${faults}, expected random or none` };
  }
  const depth = values.depth ?? "full";
  if (depth !== "full" && depth !== "runs") return { mistake: `--depth: found ${depth}, expected full or runs` };
  const days = Number(values.days ?? (script === undefined ? 2 : 30));
  if (!(days > 0 && days <= 60)) return { mistake: `--days: found ${values.days}, expected a number up to 60` };
  const seeds = Array.from({ length: to - from + 1 }, (_, at) => from + at);
  return { seeds, days, faults, depth, json: values.json === true };
}
