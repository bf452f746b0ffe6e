import { existsSync } from "node:fs";
import { join } from "node:path";
import Database, { SqliteError, type Statement } from "better-sqlite3";
import { Fault } from "../../platform/fault.ts";
import { withFaults } from "./store-fault.ts";

/** Under which a collector of a pair writes. It only ever grows; whoever has the highest may write, and nobody else. */
export interface Fence {
  readonly epoch: number;
  /** Who holds it, for whoever comes after it. */
  readonly holder: string;
  /** Told when a write met a higher one. */
  overtaken(by: number): void;
}

/** A step of both files' shapes: under which epoch was written last, and by whom; no row where there never was a pair. */
export const fenceMigration = `
  CREATE TABLE holder (
    one INTEGER PRIMARY KEY CHECK (one = 1),
    epoch INTEGER NOT NULL,
    holder TEXT NOT NULL
  ) STRICT;
`;

const fencedFiles = ["readings.sqlite", "journal.sqlite"] as const;

export function leaseLost(own: number, found: number): Fault {
  const words = `another collector took the line over (${found}, this one had ${own}): nothing more is written here`;
  return new Fault("lease-lost", words, { retryable: false });
}

/** Inside a transaction: from its commit on nobody writes under a lower epoch. */
export function raiseFence(db: Database.Database, { epoch, holder }: Fence): void {
  const raised = db
    .prepare(
      `INSERT INTO holder (one, epoch, holder) VALUES (1, ?, ?)
       ON CONFLICT (one) DO UPDATE SET epoch = excluded.epoch, holder = excluded.holder WHERE excluded.epoch >= epoch`,
    )
    .run(epoch, holder);
  if (raised.changes === 0) throw leaseLost(epoch, epochOf(db));
}

/**
 * From now on every write through this connection looks at the epoch first, in the transaction that it is part of: who
 * raises it waits for that transaction or comes before it, so a process that was stopped in between finds out before
 * it commits, however long it was stopped.
 */
export function standBehindFence(db: Database.Database, fence: Fence): void {
  const epoch = db.prepare<[], number>("SELECT epoch FROM holder").pluck();
  const look = (): void => {
    const found = epoch.get() ?? 0;
    if (found === fence.epoch) return;
    fence.overtaken(found);
    throw leaseLost(fence.epoch, found);
  };
  const plainTransaction = db.transaction.bind(db) as typeof db.transaction;
  const plainPrepare = db.prepare.bind(db) as typeof db.prepare;
  const transaction = (work: (...given: unknown[]) => unknown) =>
    plainTransaction((...given: unknown[]) => {
      look();
      return work(...given);
    });
  const prepare = (source: string): Statement => {
    const statement = plainPrepare(source);
    if (statement.readonly) return statement;
    for (const name of ["run", "get", "all"] as const) {
      const plain = statement[name].bind(statement) as (...given: unknown[]) => unknown;
      const alone = transaction(plain);
      // What is part of a transaction was looked at when that began.
      const fenced = (...given: unknown[]): unknown => (db.inTransaction ? plain(...given) : alone.immediate(...given));
      Object.assign(statement, { [name]: fenced });
    }
    return statement;
  };
  Object.assign(db, { transaction, prepare });
}

/** Who holds the line as the files say: the higher of both, for a take-over may have died between them. */
export function holderOf(folder: string): Pick<Fence, "epoch" | "holder"> {
  const found = fencedFiles.map((name) => read(join(folder, name)));
  return found.reduce((highest, one) => (one.epoch > highest.epoch ? one : highest));
}

/** Whether both files can be written to within that time; somebody stopped amid a write keeps them. */
export function canBeWritten(folder: string, withinMs: number): boolean {
  return fencedFiles.every((name) => {
    const file = join(folder, name);
    if (!existsSync(file)) return true;
    return withFaults(file, () => {
      const db = new Database(file, { timeout: withinMs });
      try {
        db.exec("BEGIN IMMEDIATE; ROLLBACK");
        return true;
      } catch (error) {
        if (error instanceof SqliteError && error.code.startsWith("SQLITE_BUSY")) return false;
        throw error;
      } finally {
        db.close();
      }
    });
  });
}

function read(file: string): Pick<Fence, "epoch" | "holder"> {
  const nobody = { epoch: 0, holder: "" };
  if (!existsSync(file)) return nobody;
  return withFaults(file, () => {
    const db = new Database(file, { readonly: true });
    try {
      // A file of an earlier version, or one that was only just made, has no such table yet.
      const known = db.prepare("SELECT 1 FROM sqlite_schema WHERE name = 'holder'").get();
      if (known === undefined) return nobody;
      return db.prepare<[], typeof nobody>("SELECT epoch, holder FROM holder").get() ?? nobody;
    } finally {
      db.close();
    }
  });
}

function epochOf(db: Database.Database): number {
  return db.prepare<[], number>("SELECT epoch FROM holder").pluck().get() ?? 0;
}
