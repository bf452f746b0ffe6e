/** What is seen of the one that holds the line, at one look. */
export interface Seen {
  readonly epoch: number;
  /** Counts up while it is well; 0 until it has begun. */
  readonly beat: number;
  /** Its lock is free: it ended, or died. */
  readonly free: boolean;
}

/** What is known of it after some looks. */
export interface Watched extends Seen {
  /** For how long it stood still, of the time during which somebody looked. */
  readonly stillMs: number;
  /** When it was looked at last, by a clock that nobody sets. */
  readonly lookedMs: number;
}

export type HolderState = "well" | "gone" | "hung";

/** Without a beat for so long it counts as hung; a write that waits for another process's alone may hold one up for 5 s. */
export const HUNG_MS = 8_000;
/** It cannot beat while it begins, which may take long where files are brought to a new shape. */
export const BEGIN_MS = 120_000;
/** Between two looks no more than this counts: who did not look, being stopped or starved, knows nothing of that time. */
export const LOOK_COUNTS_MS = 500;

/**
 * Takes one more look into what is known. Only whether the beat moved counts, never what time it tells, so clocks need
 * not agree and may leap.
 */
export function watched(before: Watched | null, seen: Seen, nowMs: number): Watched {
  if (before === null || before.epoch !== seen.epoch || before.beat !== seen.beat) {
    return { ...seen, stillMs: 0, lookedMs: nowMs };
  }
  const sinceMs = Math.min(Math.max(0, nowMs - before.lookedMs), LOOK_COUNTS_MS);
  return { ...seen, stillMs: before.stillMs + sinceMs, lookedMs: nowMs };
}

export function holderState({ beat, free, stillMs }: Watched): HolderState {
  if (free) return "gone";
  return stillMs >= (beat === 0 ? BEGIN_MS : HUNG_MS) ? "hung" : "well";
}
