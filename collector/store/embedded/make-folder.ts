import { accessSync, constants, mkdirSync } from "node:fs";
import { Fault } from "../../platform/fault.ts";

export function makeFolder(folder: string): void {
  try {
    mkdirSync(folder, { recursive: true });
  } catch (cause) {
    throw unusable(`the data folder ${folder} can not be made`, cause);
  }
  try {
    // SQLite would only say that it cannot open a file, not that the disk is read-only or belongs to somebody else.
    accessSync(folder, constants.R_OK | constants.W_OK | constants.X_OK);
  } catch (cause) {
    throw unusable(`the data folder ${folder} can not be written`, cause);
  }
}

function unusable(what: string, cause: unknown): Fault {
  const message = `${what}: ${(cause as Error).message}`;
  return new Fault("data-folder-unusable", message, { retryable: false, cause });
}
