import type { ChangeRecord } from "../change-record.ts";
import type { Journal } from "../journal.ts";
import type { MessageBook } from "../message-book.ts";
import type { PeopleBook } from "../people-book.ts";
import type { SampleStore, SeriesPlaces } from "../sample-store.ts";
import { openJournalFile } from "./embedded-journal.ts";
import { openMessageBook } from "./embedded-message-book.ts";
import { openSampleStore, type SampleStoreOptions } from "./embedded-sample-store.ts";
import { lockDataFolder } from "./lock-data-folder.ts";

export interface DataFolder {
  readonly samples: SampleStore;
  readonly journal: Journal;
  readonly messages: MessageBook;
  readonly people: PeopleBook;
  readonly record: ChangeRecord;
  /** Where it lies. */
  readonly path: string;
  close(): void;
}

/** Opens all that one product keeps on disk, as the only one that writes readings there. */
export function openDataFolder(
  folder: string,
  places: SeriesPlaces,
  options: Pick<SampleStoreOptions, "holdForLongTerm"> = {},
): DataFolder {
  const opened: (() => void)[] = [lockDataFolder(folder)];
  const close = (): void => {
    // Last opened, first closed; the lock goes last, even when a close fails.
    const next = opened.pop();
    if (next === undefined) return;
    try {
      next();
    } finally {
      close();
    }
  };
  try {
    const samples = openSampleStore(folder, places, options);
    opened.push(samples.close);
    const { journal, people, record } = openJournalFile(folder);
    opened.push(journal.close);
    const messages = openMessageBook(folder);
    opened.push(messages.close);
    return { samples, journal, messages, people, record, path: folder, close };
  } catch (error) {
    close();
    throw error;
  }
}
