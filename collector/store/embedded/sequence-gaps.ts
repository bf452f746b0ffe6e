import type { Database } from "better-sqlite3";
import type { Counted } from "../../decode/decoder.ts";
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
  /** Since it was saved. */
  moved: boolean;
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
  const all = db.prepare<[], Omit<Track, "holes" | "moved">>(
    "SELECT source, stream, newest, missing, time AS timeMs FROM sequence",
  );
  let sources = new Map<string, Map<string, Track>>();
  let moved: Track[] = [];
  /** The source of the message before, whose own counter is asked for most: thousands of messages a second pass here. */
  let last: { readonly source: string; readonly track: Track } | undefined;

  const load = (): void => {
    sources = new Map();
    last = undefined;
    for (const row of all.all()) streamsOf(row.source).set(row.stream, { ...row, holes: [], moved: false });
  };
  const streamsOf = (source: string): Map<string, Track> => {
    const known = sources.get(source);
    if (known !== undefined) return known;
    const made = new Map<string, Track>();
    sources.set(source, made);
    return made;
  };
  const touch = (track: Track, timeMs: number): void => {
    if (timeMs > track.timeMs) track.timeMs = timeMs;
    if (track.moved) return;
    track.moved = true;
    moved.push(track);
  };
  /** The counter, or undefined for a new one, which only tells where it stands. */
  const trackOf = (source: string, stream: string, number: number, timeMs: number): Track | undefined => {
    const streams = streamsOf(source);
    const known = streams.get(stream);
    if (known !== undefined || streams.size >= STREAMS) return known;
    const made = { source, stream, newest: number, missing: 0, timeMs, holes: [], moved: false };
    streams.set(stream, made);
    touch(made, timeMs);
    return undefined;
  };
  const step = (source: string, { stream, number, wraps, anew }: Counted, timeMs: number): void => {
    const track = trackOf(source, stream, number, timeMs);
    if (track === undefined) return;
    if (anew === true) beginAnew(track, number);
    else advance(track, number, wraps, timeMs);
    touch(track, timeMs);
  };
  /** The one counter that a source's own messages carry. */
  const stepOwn = (source: string, number: number, timeMs: number): void => {
    const track = last?.source === source ? last.track : trackOf(source, "", number, timeMs);
    if (track === undefined) return;
    last = last?.track === track ? last : { source, track };
    advance(track, number, Number.POSITIVE_INFINITY, timeMs);
    touch(track, timeMs);
  };
  load();

  return {
    note: ({ source, sequence, counted, samples }) => {
      if (source === null) return;
      const timeMs = samples[samples.length - 1]?.tMs ?? 0;
      if (sequence !== null) stepOwn(source, sequence, timeMs);
      if (counted !== undefined) for (const one of counted) step(source, one, timeMs);
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
      if (!committed && moved.length > 0) load();
      for (const track of moved) track.moved = false;
      moved = [];
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
