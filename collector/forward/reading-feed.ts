import { setImmediate as turn } from "node:timers/promises";
import type { RefusedLine } from "../store/forward-book.ts";
import type { LineWriter } from "../store/influx/influx-line.ts";
import { CHUNK_BYTES, CHUNK_LINES } from "../store/influx/influx-writer.ts";
import type { SampleStore, StoredSample } from "../store/sample-store.ts";

/** Readings on their way, and what holds once they have arrived. */
export interface Chunk {
  readonly samples: StoredSample[];
  readonly lines: string[];
  readonly until: Map<string, number>;
  readonly behind: { readonly id: number; readonly leftFromMs: number | null }[];
  /** Of what was let go here, and so may be there already in the form that came first. */
  readonly mayBeThere: { readonly series: string; readonly fromMs: number; readonly toMs: number }[];
  /** What cannot be said in lines at all. */
  readonly refused: RefusedLine[];
  /** There was more than fits. */
  full: boolean;
}

/** Takes what is still to be forwarded out of the store, one chunk after the other. */
export interface ReadingFeed {
  /** The next chunk after the one taken last; empty when all was taken. One call at a time. */
  next(): Promise<Chunk>;
  /** While no chunk is being made: begins again at the watermark: what was taken did not arrive. */
  reset(): void;
  /** After the book says that a chunk is done. */
  arrived(chunk: Chunk): void;
}

const FIRST_SPAN_MS = 3_600_000;
const LEAST_SPAN_MS = 1_000;
const MOST_SPAN_MS = 30 * 86_400_000;
/** Of a chunk, for what lies behind the watermark: an old backlog must not keep what is new from arriving. */
const BEHIND_LINES = CHUNK_LINES / 2;
const NOTES = 100;
/** Lines of one question to the store. */
const PIECE_LINES = 500;
/** So long a chunk is made before all else has its turn. */
const TURN_MS = 4;

interface Stretch {
  readonly series: string;
  readonly fromMs: number;
  /** Of the last reading, itself included. */
  readonly lastMs: number;
}

/** What a chunk may still hold. */
interface Room {
  lines: number;
  bytes: number;
}

export function readingFeed(store: SampleStore, lines: LineWriter, turnMs: number = TURN_MS): ReadingFeed {
  const book = store.forwarding;
  /** Up to where each series was taken; where it was not, its watermark counts. */
  const taken = new Map<string, number>();
  const notesTaken = new Map<number, number | null>();
  /** Longest stretch that is asked for at once: about what fits into a chunk. */
  const spans = new Map<string, number>();
  let sinceMs = 0;

  const put = (chunk: Chunk, found: readonly StoredSample[]): number => {
    let bytes = 0;
    for (const sample of found) {
      const line = lineOf(lines, sample, chunk.refused);
      if (line === null) continue;
      chunk.samples.push(sample);
      chunk.lines.push(line);
      bytes += line.length;
    }
    return bytes;
  };

  /** Reads on from a time, not past `lastMs`, some lines at most; gives the time up to which all was taken. */
  const takePiece = (chunk: Chunk, { series, fromMs, lastMs }: Stretch, room: Room): number => {
    const span = spans.get(series) ?? FIRST_SPAN_MS;
    const toMs = Math.min(fromMs + span, lastMs + 1);
    const most = Math.min(room.lines, PIECE_LINES);
    const found = store.read({ series, fromMs, toMs }, { includeLate: true, limit: most });
    room.lines -= found.length;
    room.bytes -= put(chunk, found);
    if (found.length === most) {
      const last = found.at(-1)!.tMs;
      spans.set(series, Math.min(Math.max(2 * (last - fromMs), LEAST_SPAN_MS), MOST_SPAN_MS));
      return last;
    }
    spans.set(series, Math.min(4 * span, MOST_SPAN_MS));
    if (found.length > 0 || toMs > lastMs) return toMs - 1;
    const [next] = store.read({ series, fromMs: toMs, toMs: lastMs + 1 }, { includeLate: true, limit: 1 });
    return next === undefined ? lastMs : next.tMs - 1;
  };

  /** The same as far as there is room, piece by piece; after each, and in the same turn, it is said how far that was. */
  const take = async (
    chunk: Chunk,
    { series, fromMs, lastMs }: Stretch,
    room: Room,
    taken: (reachedMs: number) => void,
  ): Promise<void> => {
    for (let from = fromMs; from <= lastMs && !isSpent(room); ) {
      const reached = takePiece(chunk, { series, fromMs: from, lastMs }, room);
      taken(reached);
      from = reached + 1;
      await pause();
    }
  };

  /** Lets all else have its turn once we had ours: readings come in meanwhile, and the chunk before goes out. */
  const pause = async (): Promise<void> => {
    if (performance.now() - sinceMs < turnMs) return;
    await turn();
    sinceMs = performance.now();
  };

  const takeBehind = async (chunk: Chunk, lines: number, bytes: number): Promise<void> => {
    const room = { lines, bytes };
    const most = NOTES + notesTaken.size;
    const notes = book.behind(most);
    // What is on its way may arrive while this goes on, and is then no longer among those taken.
    const waiting = notes.filter(({ id }) => notesTaken.get(id) !== null);
    for (const { id, series, fromMs, toMs } of waiting) {
      chunk.full = isSpent(room);
      if (chunk.full) return;
      const begin = notesTaken.get(id) ?? fromMs;
      let reached = begin - 1;
      await take(chunk, { series, fromMs: begin, lastMs: toMs }, room, (reachedMs) => {
        reached = reachedMs;
      });
      const leftFromMs = reached >= toMs ? null : reached + 1;
      notesTaken.set(id, leftFromMs);
      if (leftFromMs !== null) chunk.full = true;
      chunk.behind.push({ id, leftFromMs });
      const keptFrom = store.keptFrom(series);
      if (begin < keptFrom) chunk.mayBeThere.push({ series, fromMs: begin, toMs: Math.min(reached + 1, keptFrom) });
    }
    if (notes.length === most) chunk.full = true;
  };

  const takeFresh = async (chunk: Chunk, bytes: number): Promise<void> => {
    const waiting = store.seriesNames().flatMap((series) => {
      const untilMs = taken.get(series) ?? book.until(series);
      const lastMs = store.latest(series)?.tMs;
      return lastMs === undefined || lastMs <= untilMs ? [] : [{ series, untilMs, lastMs }];
    });
    // The one that is furthest behind first, so that all come forward together and the oldest is there first.
    waiting.sort((a, b) => a.untilMs - b.untilMs);
    const room = { lines: CHUNK_LINES - chunk.lines.length, bytes };
    for (const { series, untilMs, lastMs } of waiting) {
      chunk.full = isSpent(room);
      if (chunk.full) return;
      const fromMs = untilMs === Number.NEGATIVE_INFINITY ? book.oldestMs(series)! : untilMs + 1;
      await take(chunk, { series, fromMs, lastMs }, room, (reachedMs) => {
        // In the same turn as the reading: what is committed from now on is noted.
        book.claim(series, reachedMs);
        taken.set(series, reachedMs);
        chunk.until.set(series, reachedMs);
      });
      if (chunk.until.get(series)! < lastMs) chunk.full = true;
    }
  };

  return {
    next: async () => {
      sinceMs = performance.now();
      const chunk: Chunk = {
        samples: [],
        lines: [],
        until: new Map(),
        behind: [],
        mayBeThere: [],
        refused: [],
        full: false,
      };
      await takeBehind(chunk, BEHIND_LINES, CHUNK_BYTES / 3);
      // Half was for these; the rest of them goes behind what is new, when that leaves room.
      chunk.full = false;
      await takeFresh(chunk, CHUNK_BYTES / 3);
      if (!chunk.full) await takeBehind(chunk, CHUNK_LINES - chunk.lines.length, CHUNK_BYTES / 3);
      return chunk;
    },
    reset: () => {
      taken.clear();
      notesTaken.clear();
    },
    arrived: ({ behind }) => {
      for (const { id, leftFromMs } of behind) if (leftFromMs === null) notesTaken.delete(id);
    },
  };
}

function isSpent(room: Readonly<Room>): boolean {
  return room.lines <= 0 || room.bytes <= 0;
}

export function isEmpty({ lines, until, behind, refused }: Chunk): boolean {
  return lines.length === 0 && until.size === 0 && behind.length === 0 && refused.length === 0;
}

function lineOf(lines: LineWriter, sample: StoredSample, refused: RefusedLine[]): string | null {
  try {
    return lines.reading(sample);
  } catch (error) {
    if (!(error instanceof RangeError)) throw error;
    const { series, tMs } = sample;
    refused.push({ series, tMs, code: "influx-line-refused", words: error.message, line: JSON.stringify(sample) });
    return null;
  }
}
