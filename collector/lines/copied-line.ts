import { createHash } from "node:crypto";
import type { JournalEntry, StoredEntry } from "../../spc/model/journal-entry.ts";

/** What stands before the first line of a copy. */
export const noLine: string = "0".repeat(64);

/** Bytes of one file of a copy; then the next one begins. */
export const SEGMENT_BYTES = 32 * 1_048_576;

/** A line of a copy: an entry with its place in the journal, and a hash over it and all lines before. */
export interface CopiedLine {
  readonly seq: number;
  readonly hash: string;
  readonly entry: JournalEntry;
}

/** JSON has no bare tab, so what stands behind the last one is the hash. */
export function lineOf(
  { seq, ...entry }: StoredEntry,
  before: string,
): { readonly text: string; readonly hash: string } {
  const json = JSON.stringify({ seq, ...entry });
  const hash = hashOf(json, before);
  return { text: `${json}\t${hash}\n`, hash };
}

/** The line, without its end; null where it does not follow from the one before. */
export function readLine(text: string, before: string): CopiedLine | null {
  const tab = text.lastIndexOf("\t");
  if (tab < 0) return null;
  const [json, hash] = [text.slice(0, tab), text.slice(tab + 1)];
  if (hashOf(json, before) !== hash) return null;
  const { seq, ...entry } = JSON.parse(json) as StoredEntry;
  return { seq, hash, entry: entry as JournalEntry };
}

/** Files of a copy are named by the place of their first entry, so that they sort as they were written. */
export function segmentName(firstSeq: number): string {
  return `${String(firstSeq).padStart(15, "0")}.jsonl`;
}

export function isSegment(name: string): boolean {
  return /^\d{15}\.jsonl$/.test(name);
}

function hashOf(json: string, before: string): string {
  return createHash("sha256").update(before).update(json).digest("hex");
}
