import { usage, type Wanted, wantedOf } from "./arguments.ts";
import { keepScore, keptScores } from "./kept-scores.ts";
import { unscoredFaults } from "./plan/sized-faults.ts";
import { plantScore } from "./plant-score.ts";
import { pooled } from "./pooled.ts";
import { wordsOf } from "./words.ts";

process.exitCode = await main(process.argv.slice(2));

async function main(words: readonly string[]): Promise<number> {
  if (words.includes("--help")) {
    console.log(usage);
    return 0;
  }
  const wanted = wantedOf(words);
  if ("mistake" in wanted) {
    console.error(`score: ${wanted.mistake}\n\n${usage}`);
    return 2;
  }
  await scoreAll(wanted);
  return 0;
}

async function scoreAll({ seeds, json, ...asked }: Wanted): Promise<void> {
  const scores = [];
  for (const seed of seeds) {
    const score = await plantScore({ ...asked, seed });
    keepScore(score);
    scores.push(score);
    if (seeds.length > 1) console.error(`score: plant ${seed} in ${score.seconds.toFixed(0)} s`);
  }
  const now = pooled(scores);
  const seconds = scores.reduce((sum, one) => sum + one.seconds, 0);
  const { seed, borders, features, links, faultRows } = scores[0]!;
  const own = seeds.length > 1 ? { seeds } : { seed };
  const kept = pooled(keptScores(asked));
  const said = {
    ...own,
    ...asked,
    seconds,
    summary: now.summary,
    ...{ faults: now.faults, kinds: now.kinds, chance: now.chance, characteristics: now.characteristics },
    falseFlags: now.falseFlags,
    ...(seeds.length > 1 ? {} : { injections: faultRows, features, borders, links }),
    unscored: unscoredFaults,
    pooled: { seeds: kept.seeds, spread: kept.spread, summary: kept.summary, kinds: kept.kinds, chance: kept.chance },
  };
  console.log(json ? JSON.stringify(said) : wordsOf(said));
}
