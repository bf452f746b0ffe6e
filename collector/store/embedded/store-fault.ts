import { SqliteError } from "better-sqlite3";
import { Fault } from "../../platform/fault.ts";

/** Says in our words what SQLite could not do; anything else is a defect and is given back as it is. */
export function storeFault(error: unknown, file: string): unknown {
  if (!(error instanceof SqliteError)) return error;
  const said = `${error.message} (${error.code})`;
  if (error.code === "SQLITE_FULL") {
    return new Fault("disk-full", `${file}: no room left on the disk: ${said}`, { retryable: true, cause: error });
  }
  if (error.code.startsWith("SQLITE_CORRUPT") || error.code === "SQLITE_NOTADB") {
    return new Fault("data-damaged", `${file} is damaged or no file of ours: ${said}`, {
      retryable: false,
      cause: error,
    });
  }
  if (/^SQLITE_(IOERR|BUSY|LOCKED|READONLY|CANTOPEN|NOMEM|PROTOCOL)/.test(error.code)) {
    return new Fault("store-unavailable", `${file} can not be used: ${said}`, { retryable: true, cause: error });
  }
  return error;
}

/** Runs `work`; what SQLite refuses comes out as a Fault. */
export function withFaults<T>(file: string, work: () => T): T {
  try {
    return work();
  } catch (error) {
    throw storeFault(error, file);
  }
}

/** A port of which each function says in our words what SQLite refuses. */
export function faultsOf<T extends object>(file: string, port: T): T {
  const functions = Object.entries(port).map(([name, work]: [string, (...given: unknown[]) => unknown]) => {
    return [name, (...given: unknown[]) => withFaults(file, () => work(...given))];
  });
  return Object.fromEntries(functions);
}
