import { closeSync, openSync, readdirSync, readFileSync, readSync } from "node:fs";
import { join } from "node:path";
import type { JournalEntry } from "../../spc/model/journal-entry.ts";
import type { Bus } from "../platform/bus.ts";
import type { Clock } from "../platform/clock.ts";
import { Fault } from "../platform/fault.ts";
import type { Log } from "../platform/log.ts";
import type { Journal } from "../store/journal.ts";
import { isSegment, noLine, readLine } from "./copied-line.ts";
import { type LineHead, lineFiles } from "./line-head.ts";
import { lookAtSettings } from "./line-settings.ts";

/** Bytes of one line's copy taken in one go: others wait no longer than for these. */
const BYTES_AT_ONCE = 1_048_576;
const LOOK_MS = 1_000;
/** A line writes each two seconds that it is there; so long without, and it is cut off. */
const AWAY_MS = 15_000;
/** A copy that did not follow is looked at again after this. */
const MENDED_MS = 10_000;

/** A line that sends its copy here. */
export interface Line {
  readonly id: string;
  readonly folder: string;
  /** Mark of the settings that say which stations are its own; while others lie there, nothing is taken. */
  readonly settings: string;
}

export interface LineState {
  readonly line: string;
  /** Since when nothing was heard of it, by our clock; null while it is there. */
  readonly awaySinceMs: number | null;
  /** Why nothing more is taken from its copy; null while it is. */
  readonly damaged: string | null;
  /** What it said last; null before the first time. */
  readonly head: LineHead | null;
}

export interface CopiesTaken {
  states(): readonly LineState[];
  /** Takes what there is, once; true when more waits. Called by `run`, and by tests and benches. */
  takeSome(): boolean;
  run(signal: AbortSignal): Promise<void>;
}

/** Up to where a line's copy was taken in. Plain JSON, kept in the same transaction as its entries. */
interface Taken {
  readonly segment: string;
  readonly bytes: number;
  readonly seq: number;
  readonly hash: string;
}

interface Known {
  readonly settings: () => string | null;
  head: LineHead | null;
  headText: string;
  heardMs: number;
  damaged: string | null;
  damagedMs: number;
}

/**
 * Takes the copies of several lines into one journal, each line's entries in their order. Each line of a copy must follow
 * from the one before; where one does not, nothing more is taken of that copy, and what was taken stays.
 */
export function takeCopies(parts: {
  readonly lines: readonly Line[];
  readonly journal: Journal;
  /** Stations of each line: entries of others are not its own to tell. */
  readonly stationsOf: (line: string) => ReadonlySet<string>;
  readonly clock: Clock;
  readonly bus: Bus;
  readonly log: Log;
}): CopiesTaken {
  const { journal, clock, bus, log } = parts;
  const startedMs = clock.nowMs();
  const known = new Map<string, Known>(
    parts.lines.map(({ id, folder }) => {
      const unheard = { head: null, headText: "", heardMs: Number.NEGATIVE_INFINITY };
      return [id, { ...unheard, settings: lookAtSettings(folder), damaged: null, damagedMs: 0 }];
    }),
  );

  const hear = ({ id, folder }: Line): void => {
    const one = known.get(id)!;
    const text = readOr(join(folder, lineFiles.head));
    if (text === null || text === one.headText) return;
    try {
      one.head = JSON.parse(text) as LineHead;
    } catch {
      // It is copied by who knows what, and may be half there: the next look finds the rest.
      return;
    }
    // What was written before we began says nothing of now, unless it is written anew.
    if (one.headText !== "" || clock.nowMs() - one.head.atMs < AWAY_MS) one.heardMs = clock.nowMs();
    one.headText = text;
  };

  const setDamaged = ({ id }: Line, words: string): void => {
    const one = known.get(id)!;
    if (one.damaged !== words) log.error({ line: id, words }, "the copy of a line is damaged; no more is taken of it");
    one.damaged = words;
    one.damagedMs = clock.nowMs();
  };

  const takeOf = (line: Line): boolean => {
    const name = `line:${line.id}`;
    const at = (journal.checkpoint(name) as Taken | undefined) ?? { segment: "", bytes: 0, seq: 0, hash: noLine };
    const found = nextBytes(join(line.folder, lineFiles.entries), at);
    if (found === null) return false;
    const own = parts.stationsOf(line.id);
    const entries: JournalEntry[] = [];
    let { seq, hash } = at;
    let bytes = found.fromBytes;
    for (const text of found.bytes.toString().split("\n").slice(0, -1)) {
      const read = readLine(text, hash);
      if (read === null || read.seq <= seq) {
        setDamaged(line, `${found.segment}: what follows entry ${seq} is not what was written after it`);
        break;
      }
      ({ seq, hash } = read);
      bytes += Buffer.byteLength(text) + 1;
      if (own.has(read.entry.station)) entries.push(read.entry);
    }
    if (seq === at.seq) return false;
    journal.transaction(() => {
      journal.append(entries);
      journal.saveCheckpoint(name, { segment: found.segment, bytes, seq, hash } satisfies Taken);
    });
    bus.announce("journal");
    return true;
  };

  const takeSome = (): boolean => {
    let more = false;
    for (const line of parts.lines) {
      hear(line);
      const one = known.get(line.id)!;
      // An entry of a station that we do not know yet would be passed over for good.
      if (one.settings() !== line.settings) continue;
      // Files that are carried here may come in another order than they were written in.
      if (one.damaged !== null && clock.nowMs() - one.damagedMs < MENDED_MS) continue;
      const before = one.damagedMs;
      more = takeOf(line) || more;
      if (one.damagedMs === before) one.damaged = null;
    }
    return more;
  };

  return {
    states: () =>
      parts.lines.map(({ id }) => {
        const { head, heardMs, damaged } = known.get(id)!;
        const away = clock.nowMs() - Math.max(heardMs, startedMs) > AWAY_MS;
        const sinceMs = heardMs === Number.NEGATIVE_INFINITY ? (head?.atMs ?? startedMs) : heardMs;
        return { line: id, awaySinceMs: away ? sinceMs : null, damaged, head };
      }),
    takeSome,
    run: async (signal) => {
      while (!signal.aborted) {
        let more = false;
        try {
          more = takeSome();
        } catch (error) {
          if (!(error instanceof Fault) || !error.retryable) throw error;
          log.error({ code: error.code, err: error }, "copies of lines could not be taken in; tried again");
        }
        // Rejects when we are stopped, and the loop's condition ends it.
        await clock.sleep(more ? 0 : LOOK_MS, signal).catch(() => undefined);
      }
    },
  };
}

/** The next whole lines of a copy; null when there are none. */
function nextBytes(
  folder: string,
  at: Taken,
): { readonly segment: string; readonly fromBytes: number; readonly bytes: Buffer } | null {
  const segments = namesIn(folder).filter((name) => isSegment(name) && name >= at.segment);
  for (const segment of segments) {
    const fromBytes = segment === at.segment ? at.bytes : 0;
    const bytes = linesFrom(join(folder, segment), fromBytes);
    if (bytes.length > 0) return { segment, fromBytes, bytes };
  }
  return null;
}

function namesIn(folder: string): readonly string[] {
  try {
    return readdirSync(folder).sort();
  } catch {
    // Not there yet, or cut off: it is looked for again.
    return [];
  }
}

/** Whole lines only: the last one may still be on its way. */
function linesFrom(file: string, fromBytes: number): Buffer {
  const handle = openOr(file);
  if (handle === null) return Buffer.alloc(0);
  try {
    for (let size = BYTES_AT_ONCE; ; size *= 4) {
      const buffer = Buffer.alloc(size);
      const read = readSync(handle, buffer, 0, size, fromBytes);
      const whole = buffer.subarray(0, read).lastIndexOf(0x0a) + 1;
      // One entry may be longer than is taken in one go.
      if (whole > 0 || read < size) return buffer.subarray(0, whole);
    }
  } finally {
    closeSync(handle);
  }
}

function readOr(file: string): string | null {
  try {
    return readFileSync(file, "utf8");
  } catch {
    // Not there yet, or cut off: it is looked for again.
    return null;
  }
}

function openOr(file: string): number | null {
  try {
    return openSync(file, "r");
  } catch {
    // Cut off between the list and this: it is looked for again.
    return null;
  }
}
