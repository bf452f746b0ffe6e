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
 * A run's context with what people have said since it was cut: words that nothing told, and words that people had told and
 * now tell otherwise. What its own events told stays.
 *
 * @shape   the context as it was cut, when the run began, all that people said by now
 * @unit    words
 * @method  a word counts as told by people where somebody at some time said just that of a time before the run
 * @source  derived here
 * @checked tests/property/spc/segment/set-ups.test.ts
 */
export function revisedContext(
  context: Attributes,
  startMs: number,
  { now, ever }: { readonly now: ReturnType<SaidAt>; readonly ever: (key: string, word: string) => boolean },
): Attributes {
  const revised = { ...context };
  for (const key of Object.keys(now)) {
    const had = Object.hasOwn(context, key) ? context[key]! : "";
    if (now[key]!.sinceMs <= startMs && (had === "" || ever(key, had))) revised[key] = now[key]!.word;
  }
  return Object.fromEntries(Object.entries(revised).filter(([, word]) => word !== ""));
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
