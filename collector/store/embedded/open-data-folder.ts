import type { ChangeRecord } from "../change-record.ts";
import type { Journal } from "../journal.ts";
import type { MessageBook } from "../message-book.ts";
import type { PeopleBook } from "../people-book.ts";
import type { SampleReader, SampleStore, SeriesPlaces } from "../sample-store.ts";
import { openJournalFile } from "./embedded-journal.ts";
import { openMessageBook } from "./embedded-message-book.ts";
import { openSampleReader } from "./embedded-sample-reader.ts";
import { openSampleStore, type SampleStoreOptions } from "./embedded-sample-store.ts";
import type { Fence } from "./fence.ts";
import { lockDataFolder } from "./lock-data-folder.ts";

/** All that one product keeps on disk, as far as it is seen: by who writes readings, or by who only reads them. */
interface Folder<Samples> {
  readonly samples: Samples;
  readonly journal: Journal;
  readonly messages: MessageBook;
  readonly people: PeopleBook;
  readonly record: ChangeRecord;
  /** Where it lies. */
  readonly path: string;
  close(): void;
}

export type DataFolder = Folder<SampleStore>;
/** Journal and people are written by both. */
export type ReadingFolder = Folder<SampleReader>;

/**
 * Opens all that one product keeps on disk, as the only one that writes readings there: by a lock, or of a pair of
 * collectors, which share it, by the fence.
 */
export function openDataFolder(
  folder: string,
  places: SeriesPlaces,
  options: Pick<SampleStoreOptions, "holdForLongTerm" | "fence"> = {},
): DataFolder {
  const { fence } = options;
  const locks = fence === undefined ? [lockDataFolder(folder, "collector")] : [];
  return opened(folder, locks, () => openSampleStore(folder, places, options), fence);
}

/** Opens the same beside the process that writes readings; hold the lock of the api first. */
export function openReadingFolder(folder: string): ReadingFolder {
  return opened(folder, [], () => openSampleReader(folder));
}

function opened<Samples extends Pick<SampleStore, "close">>(
  folder: string,
  locks: (() => void)[],
  openSamples: () => Samples,
  fence?: Fence,
): Folder<Samples> {
  const ends = [...locks];
  const close = (): void => {
    // Last opened, first closed; the lock goes last, even when a close fails.
    const next = ends.pop();
    if (next === undefined) return;
    try {
      next();
    } finally {
      close();
    }
  };
  try {
    const samples = openSamples();
    ends.push(samples.close);
    const { journal, people, record } = openJournalFile(folder, fence);
    ends.push(journal.close);
    const messages = openMessageBook(folder, fence);
    ends.push(messages.close);
    return { samples, journal, messages, people, record, path: folder, close };
  } catch (error) {
    close();
    throw error;
  }
}
