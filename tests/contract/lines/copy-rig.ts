import { mkdirSync } from "node:fs";
import { join } from "node:path";
import { pino } from "pino";
import { journalCopy } from "../../../collector/lines/journal-copy.ts";
import { takeCopies } from "../../../collector/lines/take-copies.ts";
import { memoryBus } from "../../../collector/platform/bus.ts";
import { systemClock } from "../../../collector/platform/clock.ts";
import { settingsDigest } from "../../../collector/platform/settings/settings-digest.ts";
import { openJournal } from "../../../collector/store/embedded/embedded-journal.ts";
import type { Journal } from "../../../collector/store/journal.ts";
import type { JournalEntry } from "../../../spc/model/journal-entry.ts";

export const log = pino({ level: "silent" });

/** A decision of a station, by its number. */
export function entry(station: string, n: number, words = "x"): JournalEntry {
  const body = { flag: `${station}:${n}`, by: words, atMs: n };
  return { id: `${station}:${n}/taken`, kind: "taken", station, subject: `${station}:${n}`, atMs: n, body };
}

const settings = Buffer.from("site: {}\n");

/** One line's journal and its copy, written as far as it is told to. */
export interface CopiedJournal {
  readonly id: string;
  readonly folder: string;
  journal(): Journal;
  /** Copies until `done` says so. */
  copyUntil(done: () => boolean): Promise<void>;
  close(): void;
}

export function copiedJournal(root: string, id: string): CopiedJournal {
  const data = join(root, `${id}-data`);
  const folder = join(root, "lines", id);
  mkdirSync(join(root, "lines"), { recursive: true });
  const journal = openJournal(data);
  return {
    ...{ id, folder },
    journal: () => journal,
    copyUntil: async (done) => {
      const stopping = new AbortController();
      const copy = journalCopy({ folder, settings, journal, freshness: () => [], clock: systemClock, log });
      const ended = copy.run(stopping.signal);
      while (!done()) await new Promise((resolve) => setTimeout(resolve, 10));
      stopping.abort();
      await ended;
    },
    close: journal.close,
  };
}

/** A journal that takes the copies of the lines, whose stations are named after them. */
export function taker(root: string, lines: readonly string[]) {
  const journal = openJournal(join(root, "central"));
  const taking = takeCopies({
    lines: lines.map((id) => ({ id, folder: join(root, "lines", id), settings: settingsDigest(settings) })),
    stationsOf: (id) => new Set([id]),
    ...{ journal, clock: systemClock, bus: memoryBus(), log },
  });
  return { journal, ...taking };
}
