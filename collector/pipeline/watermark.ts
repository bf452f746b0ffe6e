import { PAST_MS } from "../store/entries.ts";

/** A source that sent nothing for so long is not busy sending its past. */
const BUSY_MS = 30_000;
/** Two looks further apart than this mean that we were busy: nothing could have arrived then. */
const LONGEST_LOOK_MS = 1_500;

interface Heard {
  newestMs: number;
  /** How long we looked and saw nothing new. */
  quietMs: number;
  /** False while it is only known from before this start. */
  sinceStart: boolean;
  /** What was said to be complete: it never goes back. */
  completeMs: number;
}

/** How far each source has come: what may be cut, and who is still sending the past. */
export interface Watermarks {
  /** Takes in the newest source times that the store knows; what the first call tells of is from before this start. */
  observe(newest: ReadonlyMap<string, number>, nowMs: number): void;
  /** Samples of the source before this time are complete; null before its first. Never goes back. */
  of(source: string): number | null;
  newest(source: string): number | null;
  catchingUp(source: string, nowMs: number): boolean;
  /** True while something new came from the source within the last half minute of our clock. */
  talking(source: string): boolean;
}

/**
 * What is complete lies `latenessMs` behind a source's newest reading. A source that pauses would hold its last run
 * back for as long, so after `latenessMs` without news by our clock everything it sent counts as complete: whatever
 * older comes after that is late, and the store marks it so. After a start a source gets four times as long to come
 * back, and to send again what was not acknowledged.
 */
export function watermarks(latenessMs: number): Watermarks {
  const sources = new Map<string, Heard>();
  const pauseMs = Math.max(latenessMs, 1_000);
  const pauseAfterStartMs = Math.max(4 * pauseMs, 20_000);
  let lookedMs: number | null = null;

  const hear = (source: string, newestMs: number, sinceLookMs: number): void => {
    const known = sources.get(source);
    if (known === undefined) {
      const sinceStart = lookedMs !== null;
      sources.set(source, { newestMs, quietMs: 0, sinceStart, completeMs: Number.NEGATIVE_INFINITY });
    } else if (newestMs > known.newestMs) Object.assign(known, { newestMs, quietMs: 0, sinceStart: true });
    else known.quietMs += sinceLookMs;
  };
  return {
    observe: (newest, nowMs) => {
      const sinceLookMs = Math.min(Math.max(0, nowMs - (lookedMs ?? nowMs)), LONGEST_LOOK_MS);
      for (const [source, newestMs] of newest) hear(source, newestMs, sinceLookMs);
      lookedMs = nowMs;
    },
    of: (source) => {
      const known = sources.get(source);
      if (known === undefined) return null;
      const paused = known.quietMs >= (known.sinceStart ? pauseMs : pauseAfterStartMs);
      const complete = paused ? known.newestMs + 1 : known.newestMs - latenessMs;
      known.completeMs = Math.max(known.completeMs, complete);
      return known.completeMs;
    },
    newest: (source) => sources.get(source)?.newestMs ?? null,
    catchingUp: (source, nowMs) => {
      const known = sources.get(source);
      return known?.sinceStart === true && known.newestMs < nowMs - PAST_MS && known.quietMs < BUSY_MS;
    },
    talking: (source) => {
      const known = sources.get(source);
      return known?.sinceStart === true && known.quietMs < BUSY_MS;
    },
  };
}
