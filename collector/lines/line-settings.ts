import { createHash } from "node:crypto";
import { readFileSync, statSync } from "node:fs";
import { join } from "node:path";
import { lineFiles } from "./line-head.ts";

/** SHA-256 of settings, by which a change of them is known. */
export function settingsMark(bytes: Uint8Array): string {
  return createHash("sha256").update(bytes).digest("hex");
}

/** Tells the mark of a line's settings as they lie there now; null while none can be read. */
export function lookAtSettings(folder: string): () => string | null {
  const file = join(folder, lineFiles.settings);
  let seen = "";
  let mark: string | null = null;
  return () => {
    try {
      const { mtimeMs, size, ino } = statSync(file);
      const now = `${mtimeMs} ${size} ${ino}`;
      if (now !== seen) mark = settingsMark(readFileSync(file));
      seen = now;
    } catch {
      // Not there yet, or cut off: it is looked for again.
      [seen, mark] = ["", null];
    }
    return mark;
  };
}
