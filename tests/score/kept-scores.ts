import { mkdirSync, readdirSync, readFileSync, renameSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import type { Asked, PlantScore } from "./plant-score.ts";

const folder = join("test-results", "score");

function nameOf({ faults, depth, days }: Omit<Asked, "seed">): string {
  return `${faults}-${depth}-${days}d`;
}

/** Keeps a plant's result, in place of an earlier one of the same seed. */
export function keepScore(score: PlantScore): void {
  const place = join(folder, nameOf(score));
  mkdirSync(place, { recursive: true });
  const file = join(place, `${score.seed}.json`);
  writeFileSync(`${file}.new`, JSON.stringify(score));
  renameSync(`${file}.new`, file);
}

/** All that are kept of the same days, faults and depth. */
export function keptScores(asked: Omit<Asked, "seed">): PlantScore[] {
  const place = join(folder, nameOf(asked));
  return readdirSync(place)
    .filter((name) => name.endsWith(".json"))
    .map((name) => JSON.parse(readFileSync(join(place, name), "utf8")) as PlantScore)
    .sort((a, b) => a.seed - b.seed);
}
