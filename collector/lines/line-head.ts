import { closeSync, fsyncSync, openSync, renameSync, writeSync } from "node:fs";
import type { Freshness } from "../pipeline/freshness.ts";
import type { SourceTrouble } from "../pipeline/source-trouble.ts";

/** Beside a copy: how the line stands, and how far its journal goes. */
export interface LineHead {
  readonly atMs: number;
  readonly product: string;
  readonly lastSeq: number;
  /** Last place that is in the copy. */
  readonly copiedSeq: number;
  /** Null while the collector has not looked yet. */
  readonly freshness: readonly (Freshness & SourceTrouble)[];
}

/** A line's settings, how it stands, and its entries. */
export const lineFiles = { settings: "site.yaml", head: "head.json", entries: "journal" } as const;

/** Under another name first: who reads sees the old or the new, never half of it. */
export function writeWhole(file: string, bytes: string | Uint8Array): void {
  const fresh = `${file}.new`;
  const handle = openSync(fresh, "w", 0o644);
  try {
    writeSync(handle, typeof bytes === "string" ? Buffer.from(bytes) : bytes);
    fsyncSync(handle);
  } finally {
    closeSync(handle);
  }
  renameSync(fresh, file);
}
