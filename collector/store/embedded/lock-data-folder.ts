import { join } from "node:path";
import Database, { SqliteError } from "better-sqlite3";
import { Fault } from "../../platform/fault.ts";
import { makeFolder } from "./make-folder.ts";
import { withFaults } from "./store-fault.ts";

const does = { collector: "writes into", api: "serves the pages of" } as const;

/**
 * Makes this process the only one that does this with the folder (writes readings into it, or serves its pages), until
 * the returned function is called or the process dies: the lock is the operating system's, so a kill leaves nothing
 * stale behind.
 */
export function lockDataFolder(folder: string, role: keyof typeof does): () => void {
  const file = join(folder, `${role}.lock`);
  makeFolder(folder);
  return withFaults(file, () => {
    const db = new Database(file, { timeout: 0 });
    try {
      db.exec("BEGIN EXCLUSIVE");
    } catch (error) {
      db.close();
      if (!(error instanceof SqliteError && error.code.startsWith("SQLITE_BUSY"))) throw error;
      throw new Fault(
        "data-folder-in-use",
        `another Steadypour already ${does[role]} ${folder}: stop it, or give this one its own folder (STEADYPOUR_DATA)`,
        { retryable: false, cause: error },
      );
    }
    return () => db.close();
  });
}
