import { readFileSync, statSync } from "node:fs";
import { join } from "node:path";
import { settingsDigest } from "../platform/settings/settings-digest.ts";
import { lineFiles } from "./line-head.ts";

/** Tells the digest of a line's settings as they lie there now; null while none can be read. */
export function lookAtSettings(folder: string): () => string | null {
  const file = join(folder, lineFiles.settings);
  let seen = "";
  let mark: string | null = null;
  return () => {
    try {
      const { mtimeMs, size, ino } = statSync(file);
      const now = `${mtimeMs} ${size} ${ino}`;
      if (now !== seen) mark = settingsDigest(readFileSync(file));
      seen = now;
    } catch {
      // Not there yet, or cut off: it is looked for again.
      [seen, mark] = ["", null];
    }
    return mark;
  };
}
