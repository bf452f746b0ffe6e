import type { Database } from "better-sqlite3";
import type { Counted } from "../../decode/decoder.ts";
import type { IncomingMessage, MissingStretch } from "../sample-store.ts";

/** Stretches of numbers that were passed over, as many as are remembered for each counter; all are counted. */
const HOLES = 100;
/** A counter that leaps further than this has begun anew somewhere else. */
const FARTHEST = 1_000_000;
/** Counters of one source that are kept: a sender that makes up names without end must not fill the disk. */
const STREAMS = 1_000;

interface Hole {
  readonly from: number;
  readonly to: number;
  /** Arrival of the message that passed over them, and source times before and after; null where messages carry none. */
  readonly foundMs: number;
  readonly afterMs: number | null;
  readonly beforeMs: number | null;
  /** False since the counter began anew: these numbers will not come any more. */
  readonly open: boolean;
}

interface Track {
  readonly source: string;
  readonly stream: string;
  /** Of a counter that wraps: on and on, as if it did not. */
  newest: number;
  /** Numbers that never came, those before a restart of ours included. */
  missing: number;
  /** Newest source time seen with it: a message of an old number and a new time is of a counter that began anew. */
  timeMs: number;
  holes: readonly Hole[];
  /** Since it was saved: the counter, and its holes. */
  moved: boolean;
  holesMoved: boolean;
}

/** Notices what never arrived, by the counters that senders give. Counted with the commit, so a restart knows where it was. */
export interface SequenceGaps {
  /** Inside a transaction, for each message in its order. */
  note(message: IncomingMessage): void;
  /** Numbers missing by source; a source without a counter is not among them. */
  missing(): ReadonlyMap<string, number>;
  /** Where they are missing, as far as that is remembered. */
  stretches(): readonly MissingStretch[];
  /** Inside a transaction. */
  save(): void;
  /** After a transaction: what it saved holds, or is taken back. */
  settled(committed: boolean): void;
  /** After another process wrote. */
  reload(): void;
}

export function sequenceGaps(db: Database): SequenceGaps {
  const put = db.prepare(`
    INSERT INTO sequence (source, stream, newest, missing, time) VALUES (?, ?, ?, ?, ?)
    ON CONFLICT (source, stream) DO UPDATE SET newest = excluded.newest, missing = excluded.missing, time = excluded.time`);
  const putHoles = db.prepare("UPDATE sequence SET holes = ? WHERE source = ? AND stream = ?");
  const all = db.prepare<[], Omit<Track, "holes" | "moved" | "holesMoved"> & { readonly holes: string }>(
    "SELECT source, stream, newest, missing, time AS timeMs, holes FROM sequence",
  );
  let sources = new Map<string, Map<string, Track>>();
  let moved: Track[] = [];
  let listed: readonly MissingStretch[] | undefined;
  /** The source of the message before, whose own counter is asked for most: thousands of messages a second pass here. */
  let last: { readonly source: string; readonly track: Track } | undefined;

  const load = (): void => {
    sources = new Map();
    last = listed = undefined;
    for (const row of all.all()) {
      const holes = JSON.parse(row.holes) as readonly Hole[];
      streamsOf(row.source).set(row.stream, { ...row, holes, moved: false, holesMoved: false });
    }
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
    const made = { source, stream, newest: number, missing: 0, timeMs, holes: [], moved: false, holesMoved: false };
    streams.set(stream, made);
    touch(made, timeMs);
    return undefined;
  };
  const step = (source: string, { stream, number, wraps, anew }: Counted, timeMs: number, foundMs: number): void => {
    const track = trackOf(source, stream, number, timeMs);
    if (track === undefined) return;
    if (anew === true) beginAnew(track, number);
    else advance(track, number, wraps, timeMs, foundMs);
    touch(track, timeMs);
  };
  /** The one counter that a source's own messages carry. */
  const stepOwn = (source: string, number: number, timeMs: number, foundMs: number): void => {
    const track = last?.source === source ? last.track : trackOf(source, "", number, timeMs);
    if (track === undefined) return;
    last = last?.track === track ? last : { source, track };
    advance(track, number, Number.POSITIVE_INFINITY, timeMs, foundMs);
    touch(track, timeMs);
  };
  load();

  return {
    note: ({ source, sequence, counted, samples, receivedMs }) => {
      if (source === null) return;
      const timeMs = samples[samples.length - 1]?.tMs ?? 0;
      if (sequence !== null) stepOwn(source, sequence, timeMs, receivedMs);
      if (counted !== undefined) for (const one of counted) step(source, one, timeMs, receivedMs);
    },
    missing: () =>
      new Map(
        [...sources].map(([source, streams]) => [
          source,
          [...streams.values()].reduce((sum, { missing }) => sum + missing, 0),
        ]),
      ),
    stretches: () => {
      listed ??= [...sources].flatMap(([source, streams]) =>
        [...streams.values()].flatMap(({ holes }) =>
          holes.map(({ from, to, foundMs, afterMs, beforeMs }) => {
            return { source, messages: to - from + 1, foundMs, afterMs, beforeMs };
          }),
        ),
      );
      return listed;
    },
    save: () => {
      for (const { source, stream, newest, missing, timeMs, holes, holesMoved } of moved) {
        put.run(source, stream, newest, missing, timeMs);
        if (holesMoved) putHoles.run(JSON.stringify(holes), source, stream);
      }
    },
    settled: (committed) => {
      if (!committed && moved.length > 0) load();
      for (const track of moved) {
        if (track.holesMoved) listed = undefined;
        track.moved = track.holesMoved = false;
      }
      moved = [];
    },
    reload: load,
  };
}

function advance(track: Track, number: number, wraps: number, timeMs: number, foundMs: number): void {
  const finite = Number.isFinite(wraps);
  const difference = number - (finite ? track.newest % wraps : track.newest);
  const around = finite && difference < 0 ? difference + wraps : difference;
  if (around === 1) track.newest += 1;
  else if (around === 0) return;
  // A counter that wraps cannot tell far ahead from a little behind: its last eighth is behind.
  else if (around > 0 && around < (wraps / 8) * 7) {
    if (around > FARTHEST) beginAnew(track, number);
    else {
      passOver(track, around - 1, timeMs, foundMs);
      track.newest += around;
    }
  } else {
    const back = finite ? wraps - around : -around;
    if (!fill(track, track.newest - back) && timeMs > track.timeMs) beginAnew(track, number);
  }
}

function beginAnew(track: Track, number: number): void {
  track.newest = number;
  if (track.holes.some(({ open }) => open))
    setHoles(
      track,
      track.holes.map((hole) => ({ ...hole, open: false })),
    );
}

function passOver(track: Track, count: number, timeMs: number, foundMs: number): void {
  track.missing += count;
  const { newest, timeMs: before } = track;
  const times = { afterMs: before === 0 ? null : before, beforeMs: timeMs === 0 ? null : timeMs };
  setHoles(
    track,
    [...track.holes, { from: newest + 1, to: newest + count, foundMs, ...times, open: true }].slice(-HOLES),
  );
}

/** Takes a number that came late after all out of those that are missing; false when it is none of them. */
function fill(track: Track, number: number): boolean {
  const hole = track.holes.find(({ from, to, open }) => open && from <= number && number <= to);
  if (hole === undefined) return false;
  const rest = [
    { ...hole, to: number - 1 },
    { ...hole, from: number + 1 },
  ].filter(({ from, to }) => from <= to);
  setHoles(
    track,
    track.holes.flatMap((one) => (one === hole ? rest : [one])),
  );
  track.missing -= 1;
  return true;
}

function setHoles(track: Track, holes: readonly Hole[]): void {
  track.holes = holes;
  track.holesMoved = true;
}
