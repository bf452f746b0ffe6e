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
  /** The next chunk after the one taken last; empty when all was taken. */
  next(): Chunk;
  /** Begins again at the watermark: what was taken did not arrive. */
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

export function readingFeed(store: SampleStore, lines: LineWriter): ReadingFeed {
  const book = store.forwarding;
  /** Up to where each series was taken; where it was not, its watermark counts. */
  const taken = new Map<string, number>();
  const notesTaken = new Map<number, number | null>();
  /** Longest stretch that is asked for at once: about what fits into a chunk. */
  const spans = new Map<string, number>();

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

  /** Reads on from a time, not past `lastMs`; gives the time up to which all was taken. */
  const take = (
    chunk: Chunk,
    range: { readonly series: string; readonly fromMs: number; readonly lastMs: number },
    room: { lines: number; bytes: number },
  ): number => {
    const { series, lastMs } = range;
    let span = spans.get(series) ?? FIRST_SPAN_MS;
    let from = range.fromMs;
    while (from <= lastMs && room.lines > 0 && room.bytes > 0) {
      const toMs = Math.min(from + span, lastMs + 1);
      const found = store.read({ series, fromMs: from, toMs }, { includeLate: true, limit: room.lines });
      const full = found.length === room.lines;
      room.lines -= found.length;
      room.bytes -= put(chunk, found);
      if (full) {
        const last = found.at(-1)!.tMs;
        span = Math.min(Math.max(2 * (last - from), LEAST_SPAN_MS), MOST_SPAN_MS);
        from = last + 1;
      } else {
        from = toMs;
        span = Math.min(4 * span, MOST_SPAN_MS);
        if (found.length === 0 && from <= lastMs) {
          const [next] = store.read({ series, fromMs: from, toMs: lastMs + 1 }, { includeLate: true, limit: 1 });
          from = next?.tMs ?? lastMs + 1;
        }
      }
    }
    spans.set(series, span);
    return from - 1;
  };

  const takeBehind = (chunk: Chunk, lines: number, bytes: number): void => {
    const room = { lines, bytes };
    const most = NOTES + notesTaken.size;
    const notes = book.behind(most);
    for (const { id, series, fromMs, toMs } of notes) {
      const left = notesTaken.get(id);
      if (left === null) continue;
      chunk.full = isSpent(room);
      if (chunk.full) return;
      const begin = left ?? fromMs;
      const reached = take(chunk, { series, fromMs: begin, lastMs: toMs }, room);
      const leftFromMs = reached >= toMs ? null : reached + 1;
      notesTaken.set(id, leftFromMs);
      if (leftFromMs !== null) chunk.full = true;
      chunk.behind.push({ id, leftFromMs });
      const keptFrom = store.keptFrom(series);
      if (begin < keptFrom) chunk.mayBeThere.push({ series, fromMs: begin, toMs: Math.min(reached + 1, keptFrom) });
    }
    if (notes.length === most) chunk.full = true;
  };

  const takeFresh = (chunk: Chunk, bytes: number): void => {
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
      const reached = take(chunk, { series, fromMs, lastMs }, room);
      // In the same turn as the reading: what is committed from now on is noted.
      book.claim(series, reached);
      taken.set(series, reached);
      chunk.until.set(series, reached);
      if (reached < lastMs) chunk.full = true;
    }
  };

  return {
    next: () => {
      const chunk: Chunk = {
        samples: [],
        lines: [],
        until: new Map(),
        behind: [],
        mayBeThere: [],
        refused: [],
        full: false,
      };
      takeBehind(chunk, BEHIND_LINES, CHUNK_BYTES / 3);
      // Half was for these; the rest of them goes behind what is new, when that leaves room.
      chunk.full = false;
      takeFresh(chunk, CHUNK_BYTES / 3);
      if (!chunk.full) takeBehind(chunk, CHUNK_LINES - chunk.lines.length, CHUNK_BYTES / 3);
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

function isSpent(room: { readonly lines: number; readonly bytes: number }): boolean {
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
