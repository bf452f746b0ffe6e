import type { EntryKind, JournalEntry, StoredEntry } from "../../spc/model/journal-entry.ts";

export interface JournalQuery {
  readonly kinds?: readonly EntryKind[];
  readonly station?: string;
  readonly subject?: string;
  readonly afterSeq?: number;
  readonly beforeSeq?: number;
  readonly fromMs?: number;
  readonly toMs?: number;
  /** `seq` (default): as written. `time`: by atMs, then seq. */
  readonly orderBy?: "seq" | "time";
  readonly newestFirst?: boolean;
  readonly limit?: number;
  /** Of runs, those that were imported: few among many, found without reading the others. Takes the place of `kinds`. */
  readonly importedRuns?: true;
}

/** Append-only record of what was measured and decided; several processes of one host may share it. */
export interface Journal {
  /** Keeps the first entry of an id and ignores the rest, so a replay is harmless. Returns those that were new. */
  append(entries: readonly JournalEntry[]): readonly StoredEntry[];
  read(query: JournalQuery): readonly StoredEntry[];
  find(id: string): StoredEntry | undefined;
  lastSeq(): number;
  /** How many entries of a kind there are up to a place. */
  count(kind: EntryKind, upToSeq: number): number;
  /** What entries of a kind are about, of all that begins so; each once, in the order of their letters. */
  subjects(kind: EntryKind, beginning: string): readonly string[];
  /** Runs `work` in one immediate transaction: what it appends and the checkpoints it saves are kept together or not at all. */
  transaction<T>(work: () => T): T;
  checkpoint(name: string): unknown;
  saveCheckpoint(name: string, state: unknown): void;
  close(): void;
}
