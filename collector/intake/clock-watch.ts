/** Least time over which the freshest reading of a source is looked for. */
const WINDOW_MS = 60_000;
/** So many windows in a row must agree, to within so much. */
const WINDOWS = 3;
const ALIKE_MS = 2_000;
/** Farther off, it is a recording that is played again, or readings of the past: no clock. */
const FARTHEST_MS = 24 * 3_600_000;

interface Watched {
  beganMs: number;
  /** Least time from reading to arrival within the window: of the reading that waited least on its way. */
  leastMs: number;
  /** Of the windows before, the last few. */
  readonly least: number[];
}

/** Compares the clocks of sources with ours, by when their readings arrive. */
export interface ClockWatch {
  /** For each message, with its newest reading. Quick: thousands a second pass here. */
  note(source: string, readingMs: number, arrivedMs: number): void;
  /** By source, how far its clock is ahead of ours; behind is below zero. Only of sources where it stands still. */
  offsetsMs(): ReadonlyMap<string, number>;
}

/**
 * A clock that is off is off by the same all the time: from the freshest reading of each window to its arrival takes
 * equally long, window after window. A backlog is caught up with, so it never does; delays on the way are passed over,
 * since only the freshest counts. What cannot be told apart: a source that holds all its readings back by the same time.
 */
export function clockWatch(): ClockWatch {
  const sources = new Map<string, Watched>();
  let lastName = "";
  let last: Watched | undefined;

  const find = (source: string, arrivedMs: number): Watched => {
    const known = sources.get(source);
    const watched = known ?? { beganMs: arrivedMs, leastMs: Number.POSITIVE_INFINITY, least: [] };
    if (known === undefined) sources.set(source, watched);
    lastName = source;
    last = watched;
    return watched;
  };
  const close = (watched: Watched, arrivedMs: number): void => {
    if (arrivedMs < watched.beganMs) watched.least.length = 0;
    else if (watched.least.push(watched.leastMs) > WINDOWS) watched.least.shift();
    watched.beganMs = arrivedMs;
    watched.leastMs = Number.POSITIVE_INFINITY;
  };
  return {
    note: (source, readingMs, arrivedMs) => {
      const watched = last !== undefined && lastName === source ? last : find(source, arrivedMs);
      const sinceMs = arrivedMs - watched.beganMs;
      // A step back of our own clock begins all anew.
      if (sinceMs >= WINDOW_MS || sinceMs < 0) close(watched, arrivedMs);
      const tookMs = arrivedMs - readingMs;
      if (tookMs < watched.leastMs) watched.leastMs = tookMs;
    },
    offsetsMs: () => {
      const found = new Map<string, number>();
      for (const [source, { least }] of sources) {
        const sorted = [...least].sort((a, b) => a - b);
        const middle = sorted[(WINDOWS - 1) / 2];
        if (sorted.length < WINDOWS || middle === undefined || sorted[WINDOWS - 1]! - sorted[0]! > ALIKE_MS) continue;
        if (Math.abs(middle) < FARTHEST_MS) found.set(source, -middle);
      }
      return found;
    },
  };
}
