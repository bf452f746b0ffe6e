import type { Database } from "better-sqlite3";
import type { IncomingMessage } from "../sample-store.ts";

/** Numbers that were passed over and may still come, from and to: as many stretches as are remembered for each counter. */
const HOLES = 100;
/** A counter that leaps further than this has begun anew somewhere else. */
const FARTHEST = 1_000_000;
/** Counters of one source that are kept: a sender that makes up names without end must not fill the disk. */
const STREAMS = 1_000;

interface Track {
  readonly source: string;
  readonly stream: string;
  /** Of a counter that wraps: on and on, as if it did not. */
  newest: number;
  /** Numbers that never came, those before a restart of ours included. */
  missing: number;
  /** Newest source time seen with it: a message of an old number and a new time is of a counter that began anew. */
  timeMs: number;
  holes: (readonly [from: number, to: number])[];
}

/** Notices what never arrived, by the counters that senders give. Counted with the commit, so a restart knows where it was. */
export interface SequenceGaps {
  /** Inside a transaction, for each message in its order. */
  note(message: IncomingMessage): void;
  /** Numbers missing by source; a source without a counter is not among them. */
  missing(): ReadonlyMap<string, number>;
  /** Inside a transaction. */
  save(): void;
  /** After a transaction: what it saved holds, or is taken back. */
  settled(committed: boolean): void;
}

export function sequenceGaps(db: Database): SequenceGaps {
  const put = db.prepare(`
    INSERT INTO sequence (source, stream, newest, missing, time) VALUES (?, ?, ?, ?, ?)
    ON CONFLICT (source, stream) DO UPDATE SET newest = excluded.newest, missing = excluded.missing, time = excluded.time`);
  const all = db.prepare<[], Omit<Track, "holes">>(
    "SELECT source, stream, newest, missing, time AS timeMs FROM sequence",
  );
  let sources = new Map<string, Map<string, Track>>();
  const moved = new Set<Track>();

  const load = (): void => {
    sources = new Map();
    for (const row of all.all()) streamsOf(row.source).set(row.stream, { ...row, holes: [] });
  };
  const streamsOf = (source: string): Map<string, Track> => {
    const known = sources.get(source);
    if (known !== undefined) return known;
    const made = new Map<string, Track>();
    sources.set(source, made);
    return made;
  };
  const step = (source: string, stream: string, number: number, wraps: number, anew: boolean, timeMs: number): void => {
    const streams = streamsOf(source);
    const track = streams.get(stream);
    if (track === undefined) {
      if (streams.size >= STREAMS) return;
      const made = { source, stream, newest: number, missing: 0, timeMs, holes: [] };
      streams.set(stream, made);
      moved.add(made);
      return;
    }
    moved.add(track);
    if (anew) beginAnew(track, number);
    else advance(track, number, wraps, timeMs);
    if (timeMs > track.timeMs) track.timeMs = timeMs;
  };
  load();

  return {
    note: ({ source, sequence, counted, samples }) => {
      if (source === null || (sequence === null && counted === undefined)) return;
      const timeMs = samples[samples.length - 1]?.tMs ?? 0;
      if (sequence !== null) step(source, "", sequence, Number.POSITIVE_INFINITY, false, timeMs);
      for (const { stream, number, wraps, anew } of counted ?? []) {
        step(source, stream, number, wraps, anew === true, timeMs);
      }
    },
    missing: () =>
      new Map(
        [...sources].map(([source, streams]) => [
          source,
          [...streams.values()].reduce((sum, { missing }) => sum + missing, 0),
        ]),
      ),
    save: () => {
      for (const { source, stream, newest, missing, timeMs } of moved) put.run(source, stream, newest, missing, timeMs);
    },
    settled: (committed) => {
      if (!committed && moved.size > 0) load();
      moved.clear();
    },
  };
}

function advance(track: Track, number: number, wraps: number, timeMs: number): void {
  const finite = Number.isFinite(wraps);
  const difference = number - (finite ? track.newest % wraps : track.newest);
  const around = finite && difference < 0 ? difference + wraps : difference;
  if (around === 1) track.newest += 1;
  else if (around === 0) return;
  // A counter that wraps cannot tell far ahead from a little behind: its last eighth is behind.
  else if (around > 0 && around < (wraps / 8) * 7) {
    if (around > FARTHEST) beginAnew(track, number);
    else {
      passOver(track, around - 1);
      track.newest += around;
    }
  } else {
    const back = finite ? wraps - around : -around;
    if (!fill(track, track.newest - back) && timeMs > track.timeMs) beginAnew(track, number);
  }
}

function beginAnew(track: Track, number: number): void {
  track.newest = number;
  track.holes = [];
}

function passOver(track: Track, count: number): void {
  track.missing += count;
  track.holes.push([track.newest + 1, track.newest + count]);
  if (track.holes.length > HOLES) track.holes.shift();
}

/** Takes a number that came late after all out of those that are missing; false when it is none of them. */
function fill(track: Track, number: number): boolean {
  const at = track.holes.findIndex(([from, to]) => from <= number && number <= to);
  const hole = track.holes[at];
  if (hole === undefined) return false;
  const [from, to] = hole;
  const rest = [[from, number - 1] as const, [number + 1, to] as const].filter(([a, b]) => a <= b);
  track.holes.splice(at, 1, ...rest);
  track.missing -= 1;
  return true;
}
