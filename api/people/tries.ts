/** Holds back who keeps guessing: after so many wrong tries each further one waits, longer every time. */
export interface Tries {
  /** When the next try may be made, or null for now. A try that may be made counts until it is taken back. */
  begin(key: string, nowMs: number): number | null;
  /** It was right: forget the wrong ones. */
  passed(key: string): void;
}

export interface TriesRule {
  readonly most: number;
  readonly withinMs: number;
  readonly pauseMs: number;
  readonly longestMs: number;
}

/** More keys than a plant has people and networks: beyond it those that may try again are forgotten. */
const MOST_KEYS = 10_000;

export function tries({ most, withinMs, pauseMs, longestMs }: TriesRule): Tries {
  const wrong = new Map<string, { readonly count: number; readonly lastMs: number }>();
  const pauseOf = (count: number): number => Math.min(longestMs, pauseMs * 2 ** Math.min(20, count - most));
  const forgotten = ({ count, lastMs }: { count: number; lastMs: number }, nowMs: number): boolean =>
    nowMs - lastMs >= (count < most ? withinMs : Math.max(withinMs, 2 * pauseOf(count)));
  return {
    begin: (key, nowMs) => {
      const found = wrong.get(key);
      const before = found === undefined || forgotten(found, nowMs) ? { count: 0, lastMs: 0 } : found;
      if (before.count >= most) {
        const againMs = before.lastMs + pauseOf(before.count);
        if (nowMs < againMs) return againMs;
      }
      if (wrong.size >= MOST_KEYS) for (const [one, state] of wrong) if (forgotten(state, nowMs)) wrong.delete(one);
      // Counted before it is looked at, so that many at once are not all let through.
      wrong.set(key, { count: before.count + 1, lastMs: nowMs });
      return null;
    },
    passed: (key) => void wrong.delete(key),
  };
}
