import {
  closeSync,
  existsSync,
  fstatSync,
  fsyncSync,
  ftruncateSync,
  mkdirSync,
  openSync,
  readdirSync,
  readFileSync,
  writeSync,
} from "node:fs";
import { join } from "node:path";
import type { Freshness } from "../pipeline/freshness.ts";
import type { SourceTrouble } from "../pipeline/source-trouble.ts";
import type { Clock } from "../platform/clock.ts";
import { Fault } from "../platform/fault.ts";
import { growingWait } from "../platform/growing-wait.ts";
import type { Log } from "../platform/log.ts";
import { productVersion } from "../platform/product-version.ts";
import type { Journal } from "../store/journal.ts";
import { isSegment, lineOf, noLine, SEGMENT_BYTES, segmentName } from "./copied-line.ts";
import { type LineHead, lineFiles, writeWhole } from "./line-head.ts";

/** Entries of one write: some hundred kilobytes. */
const AT_ONCE = 500;
const IDLE_MS = 1_000;
const HEAD_EVERY_MS = 2_000;

export interface JournalCopyParts {
  /** Of this line alone. */
  readonly folder: string;
  /** The settings file as it was read. */
  readonly settings: Uint8Array;
  readonly journal: Journal;
  readonly freshness: () => readonly (Freshness & SourceTrouble)[];
  /** Of two collectors of which one stands by: takes the copy for this process, or null while the other one still has it. */
  readonly hold?: () => (() => void) | null;
  readonly clock: Clock;
  readonly log: Log;
}

export interface JournalCopy {
  /** Copies until the signal aborts. Whatever is wrong with the folder is waited out: the line goes on. */
  run(signal: AbortSignal): Promise<void>;
}

/** Where a copy stands, and the file that is being written. */
interface Place {
  readonly handle: number;
  bytes: number;
  seq: number;
  hash: string;
}

/**
 * Copies the journal into a folder that others may read: entries are only ever added, each line with a hash over all
 * before. What is there is held against the journal at each start, and a copy of another journal is not gone on with.
 */
export function journalCopy(parts: JournalCopyParts): JournalCopy {
  const { folder, journal, clock, log } = parts;
  const entries = join(folder, lineFiles.entries);
  const wait = growingWait(1_000, 30_000);
  let place: Place | null = null;
  let headMs = Number.NEGATIVE_INFINITY;
  let told = "";

  const begin = (): Place => {
    mkdirSync(entries, { recursive: true });
    writeWhole(join(folder, lineFiles.settings), parts.settings);
    const last = readdirSync(entries).filter(isSegment).sort().at(-1);
    if (last === undefined) return { handle: openSegment(1), bytes: 0, seq: 0, hash: noLine };
    const handle = openSync(join(entries, last), "r+");
    const bytes = readFileSync(handle);
    // A line that was cut off when the process died is written again.
    const whole = bytes.lastIndexOf(0x0a) + 1;
    ftruncateSync(handle, whole);
    const lines = bytes.subarray(0, whole).toString().split("\n").slice(0, -1);
    return { handle, bytes: whole, ...lastOf(lines, last) };
  };

  const lastOf = (lines: readonly string[], name: string): Pick<Place, "seq" | "hash"> => {
    const line = lines.at(-1);
    if (line === undefined) return former(name);
    const hash = line.slice(line.lastIndexOf("\t") + 1);
    const { seq, id } = placeOf(line.slice(0, line.lastIndexOf("\t")));
    const [own] = journal.read({ afterSeq: seq - 1, limit: 1 });
    if (own?.seq !== seq || own.id !== id) {
      const words = `${folder} holds the copy of another journal, or of this one before it was restored: move it away`;
      throw new Fault("copy-differs", words, { retryable: true });
    }
    return { seq, hash };
  };

  /** A process may die after it made a file and before it wrote into it. */
  const former = (name: string): Pick<Place, "seq" | "hash"> => {
    const before = readdirSync(entries)
      .filter((other) => isSegment(other) && other < name)
      .sort()
      .at(-1);
    if (before === undefined) return { seq: 0, hash: noLine };
    return lastOf(readFileSync(join(entries, before), "utf8").split("\n").slice(0, -1), before);
  };

  const openSegment = (firstSeq: number): number => {
    const file = join(entries, segmentName(firstSeq));
    if (existsSync(file)) return openSync(file, "r+");
    return openSync(file, "wx+", 0o644);
  };

  /** The next entries; false when there are none. */
  const copySome = (at: Place): boolean => {
    const fresh = journal.read({ afterSeq: at.seq, limit: AT_ONCE });
    if (fresh.length === 0) return false;
    let { hash } = at;
    const text = fresh
      .map((entry) => {
        const line = lineOf(entry, hash);
        hash = line.hash;
        return line.text;
      })
      .join("");
    const bytes = Buffer.from(text);
    writeSync(at.handle, bytes, 0, bytes.length, at.bytes);
    fsyncSync(at.handle);
    Object.assign(at, { bytes: at.bytes + bytes.length, seq: fresh.at(-1)!.seq, hash });
    return true;
  };

  const writeHead = (copiedSeq: number): void => {
    const nowMs = clock.nowMs();
    if (nowMs - headMs < HEAD_EVERY_MS && nowMs >= headMs) return;
    headMs = nowMs;
    const freshness = parts.freshness();
    const head: LineHead = { atMs: nowMs, product: productVersion(), lastSeq: journal.lastSeq(), copiedSeq, freshness };
    writeWhole(join(folder, lineFiles.head), JSON.stringify(head));
  };

  const turn = (): boolean => {
    // Somebody may have taken the folder away: what is written into a file without a name is lost.
    if (place !== null && !(existsSync(entries) && fstatSync(place.handle).nlink > 0)) leave();
    place ??= begin();
    if (place.bytes >= SEGMENT_BYTES) {
      const { seq, hash, handle } = place;
      place = { handle: openSegment(seq + 1), bytes: 0, seq, hash };
      closeSync(handle);
    }
    const more = copySome(place);
    writeHead(place.seq);
    wait.reset();
    if (told !== "") log.info({ folder }, "the journal is copied again");
    told = "";
    return more;
  };

  const leave = (): void => {
    if (place !== null) closeSync(place.handle);
    place = null;
  };

  /** Two that write into one file at once would leave lines that do not follow: a former one must have ended. */
  let held: (() => void) | null = parts.hold === undefined ? () => undefined : null;

  return {
    run: async (signal) => {
      while (!signal.aborted) {
        let restMs = IDLE_MS;
        try {
          held ??= parts.hold?.() ?? null;
          if (held !== null && turn()) restMs = 0;
        } catch (error) {
          const { code, message } = error as NodeJS.ErrnoException;
          // A mistake of ours has no code.
          if (code === undefined) throw error;
          leave();
          if (message !== told) log.error({ folder, code, err: error }, "the journal is not copied; tried again");
          told = message;
          restMs = wait.next();
        }
        // Rejects when we are stopped, and the loop's condition ends it.
        await clock.sleep(restMs, signal).catch(() => undefined);
      }
      leave();
      held?.();
    },
  };
}

/** Of a line of the copy; one that is none of ours is at no place of the journal. */
function placeOf(json: string): { readonly seq: number; readonly id: string } {
  try {
    return JSON.parse(json) as { readonly seq: number; readonly id: string };
  } catch {
    // Not what we wrote.
    return { seq: -1, id: "" };
  }
}
