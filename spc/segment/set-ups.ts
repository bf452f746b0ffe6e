import type { Attributes } from "./open-run.ts";

/** What a person said is set up at a station, in the order in which it was written down. */
export interface SaidSetUp {
  readonly id: string;
  /** Part, tool, lot; a word that is empty is no more. */
  readonly words: Attributes;
  /** From when on it holds, as the person says. */
  readonly fromMs: number;
  /** Source time of the first sample that is cut knowing it. */
  readonly heardMs: number;
  /** The one that it stands instead of, which then says nothing any more. */
  readonly instead: string | null;
}

/** A word and since when it holds. */
export interface SaidWord {
  readonly word: string;
  readonly sinceMs: number;
}

/** What people had said of a run that began then, as far as it was known at a sample of that time. */
export type SaidAt = (startMs: number, heardByMs: number) => Readonly<Record<string, SaidWord>>;

/**
 * What people had said of a run: word by word what held when it began, as far as it was known when the run closed. What
 * was said later changes no run that is cut already.
 *
 * @shape   set-ups in the order of writing; when the run began, and the sample at which it closed
 * @unit    words; times in ms
 * @method  of those known by then, without those that another known one stands instead of: for each word the one that
 *          holds since last, of two of one time the later written
 * @cost    O(n)
 * @source  derived here
 * @checked tests/property/spc/segment/set-ups.test.ts
 */
export function saidAt(said: readonly SaidSetUp[], startMs: number, heardByMs: number): ReturnType<SaidAt> {
  const known = said.filter(({ heardMs }) => heardMs <= heardByMs);
  const replaced = new Set(known.map(({ instead }) => instead));
  const found: Record<string, SaidWord> = {};
  for (const { id, words, fromMs } of known) {
    if (fromMs > startMs || replaced.has(id)) continue;
    for (const [key, word] of Object.entries(words)) {
      const before = Object.hasOwn(found, key) ? found[key]! : null;
      if (before === null || before.sinceMs <= fromMs) found[key] = { word, sinceMs: fromMs };
    }
  }
  return found;
}

/**
 * What was set up when a run began: of what events and people said of a word, the later.
 *
 * @shape   words that events set up, since when each, and what people said
 * @unit    words; times in ms
 * @method  a word that the later one said to be empty is left out; of one time the person's holds
 * @source  derived here
 * @checked tests/property/spc/segment/set-ups.test.ts
 */
export function setUpOf(
  held: Attributes,
  since: Readonly<Record<string, number>>,
  said: ReturnType<SaidAt>,
): Attributes {
  const entries = Object.entries(said).filter(([key, { sinceMs }]) => sinceMs >= (since[key] ?? -Infinity));
  if (entries.length === 0) return held;
  const all = { ...held, ...Object.fromEntries(entries.map(([key, { word }]) => [key, word])) };
  return Object.fromEntries(Object.entries(all).filter(([, word]) => word !== ""));
}
