import { readFileSync } from "node:fs";
import { loadSettings } from "../../collector/platform/settings/load.ts";
import { mistakeLine } from "../../collector/platform/settings/mistake.ts";
import type { Site } from "../../collector/platform/settings/site.ts";
import { UsageError } from "./usage-error.ts";

/** The site that a settings file describes; all its mistakes at once where there are any. */
export function readSite(file: string): Site {
  const loaded = loadSettings(readBytes(file));
  if (loaded.ok) return loaded.site;
  throw new UsageError(loaded.mistakes.map((mistake) => mistakeLine(file, mistake)));
}

function readBytes(file: string): Uint8Array {
  try {
    return readFileSync(file);
  } catch (error) {
    throw new UsageError(`${file}: cannot be read, ${(error as Error).message}`);
  }
}
