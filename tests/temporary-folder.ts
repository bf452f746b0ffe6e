import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";

/** A new empty folder, and how to remove it with all that is in it. */
export function temporaryFolder(): { readonly path: string; remove(): void } {
  const path = mkdtempSync(join(tmpdir(), "steadypour-"));
  return { path, remove: () => rmSync(path, { recursive: true, force: true }) };
}
