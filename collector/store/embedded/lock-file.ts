import Database, { SqliteError } from "better-sqlite3";
import { withFaults } from "./store-fault.ts";

/**
 * Locks a file until the returned function is called or the process dies: the lock is the operating system's, so a kill
 * leaves nothing stale behind. Null where another process has it, and that lock and this one do not go together.
 */
export function lockFile(file: string, how: "alone" | "with-others"): (() => void) | null {
  return withFaults(file, () => {
    const db = new Database(file, { timeout: 0 });
    try {
      db.exec(how === "alone" ? "BEGIN EXCLUSIVE" : "BEGIN");
      // A transaction locks nothing before it has read.
      if (how === "with-others") db.prepare("SELECT count(*) FROM sqlite_schema").get();
    } catch (error) {
      db.close();
      if (error instanceof SqliteError && error.code.startsWith("SQLITE_BUSY")) return null;
      throw error;
    }
    return () => db.close();
  });
}
