import type { TrueRun } from "../../../simulator/runs/true-run.ts";
import type { RunRecord } from "../../../spc/model/journal-entry.ts";

/** Origins of runs that the product's words tell, beside the true ones. */
export interface Links {
  readonly true: number;
  /** True ones of which both runs were cut. */
  readonly cut: number;
  /** Of those, how many the two runs' words tie together: both name the same load, ladle, cluster. */
  readonly told: number;
  /** Pairs of an earlier and a later run that such a word ties, and how many of them are true. */
  readonly claimed: number;
  readonly claimedTrue: number;
}

/** Words that tell what ran rather than which piece it was. */
const kinds = new Set(["part", "tool", "shift", "alloy", "bead", "recordedAs", "inspector", "position"]);

/**
 * Tied by words: two runs of different kinds of stations that name the same piece under the same word. The product has no
 * page that follows them yet, so this is what it could know.
 */
export function linksOf(told: readonly RunRecord[], truth: readonly TrueRun[]): Links {
  const cut = new Map(told.map(({ run }) => [run.id, run]));
  const wordsOf = (id: string): readonly string[] =>
    Object.entries(cut.get(id)?.context ?? {}).flatMap(([key, word]) =>
      kinds.has(key) || !/\d/.test(word) ? [] : [`${key}=${word}`],
    );
  let [all, both, tied] = [0, 0, 0];
  const real = new Set<string>();
  const pairs = new Set<string>();
  for (const { id, from } of truth) {
    for (const { run } of from) {
      all += 1;
      real.add(`${run} ${id}`);
      if (!cut.has(id) || !cut.has(run)) continue;
      both += 1;
      const own = new Set(wordsOf(id));
      if (wordsOf(run).some((word) => own.has(word))) tied += 1;
      pairs.add(`${stationOf(run)} ${stationOf(id)}`);
    }
  }
  return { true: all, cut: both, told: tied, ...claims(told, real, pairs, wordsOf) };
}

/** Between stations that hand on to each other. */
function claims(
  told: readonly RunRecord[],
  real: ReadonlySet<string>,
  pairs: ReadonlySet<string>,
  wordsOf: (id: string) => readonly string[],
): Pick<Links, "claimed" | "claimedTrue"> {
  const byWord = new Map<string, string[]>();
  for (const { run } of told) {
    if (run.kind !== undefined) continue;
    for (const word of wordsOf(run.id)) byWord.set(word, [...(byWord.get(word) ?? []), run.id]);
  }
  const claimed = new Set<string>();
  for (const ids of byWord.values()) {
    for (const from of ids) {
      for (const to of ids) {
        if (pairs.has(`${stationOf(from)} ${stationOf(to)}`)) claimed.add(`${from} ${to}`);
      }
    }
  }
  return { claimed: claimed.size, claimedTrue: [...claimed].filter((one) => real.has(one)).length };
}

function stationOf(run: string): string {
  return run.slice(0, run.search(/[.:~]/));
}
