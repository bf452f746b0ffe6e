import { dirname } from "node:path";
import Database from "better-sqlite3";
import { Fault } from "../../platform/fault.ts";
import { type Fence, raiseFence, standBehindFence } from "./fence.ts";
import { makeFolder } from "./make-folder.ts";
import { withFaults } from "./store-fault.ts";

/** One step of a file's shape; its place in the list, counted from 1, is the version it leads to. */
export type Migration = string;

const BUSY_TIMEOUT_MS = 5_000;

/**
 * Opens one file of the data folder so that a commit survives a power cut, and brings it to the newest shape. With a
 * fence, whoever held the line before writes no more from then on.
 */
export function openDatabase(file: string, migrations: readonly Migration[], fence?: Fence): Database.Database {
  makeFolder(dirname(file));
  return withFaults(file, () => {
    const db = new Database(file, { timeout: BUSY_TIMEOUT_MS });
    try {
      refuseNewer(db, file, migrations.length);
      db.pragma("journal_mode = WAL");
      db.pragma("synchronous = FULL");
      // Fewer, larger checkpoints: each costs a sync of the main file.
      db.pragma("wal_autocheckpoint = 4000");
      db.pragma("journal_size_limit = 67108864");
      db.pragma("cache_size = -32768");
      migrate(db, file, migrations, fence);
      if (fence !== undefined) standBehindFence(db, fence);
      return db;
    } catch (error) {
      db.close();
      throw error;
    }
  });
}

/** Two processes may open a file at once, so the version is read again inside the transaction. */
function migrate(db: Database.Database, file: string, migrations: readonly Migration[], fence?: Fence): void {
  if (version(db) === migrations.length && fence === undefined) return;
  db.transaction(() => {
    refuseNewer(db, file, migrations.length);
    for (const step of migrations.slice(version(db))) db.exec(step);
    db.pragma(`user_version = ${migrations.length}`);
    // In the same step: the former one must not write into a shape that it does not know.
    if (fence !== undefined) raiseFence(db, fence);
  }).immediate();
}

function refuseNewer(db: Database.Database, file: string, known: number): void {
  const found = version(db);
  if (found <= known) return;
  throw new Fault(
    "data-newer",
    `${file} has shape ${found}, this version of Steadypour knows up to ${known}: start the newer version, or give another data folder`,
    { retryable: false },
  );
}

function version(db: Database.Database): number {
  return db.pragma("user_version", { simple: true }) as number;
}
