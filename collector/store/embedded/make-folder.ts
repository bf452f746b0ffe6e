import { mkdirSync } from "node:fs";
import { Fault } from "../../platform/fault.ts";

export function makeFolder(folder: string): void {
  try {
    mkdirSync(folder, { recursive: true });
  } catch (cause) {
    throw new Fault("data-folder-unusable", `the data folder ${folder} can not be made: ${(cause as Error).message}`, {
      retryable: false,
      cause,
    });
  }
}
