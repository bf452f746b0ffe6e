import { existsSync, readFileSync } from "node:fs";
import { resolve } from "node:path";
import { Fault } from "../collector/platform/fault.ts";
import { loadSettings } from "../collector/platform/settings/load.ts";
import { mistakeLine } from "../collector/platform/settings/mistake.ts";
import type { Site } from "../collector/platform/settings/site.ts";

/** Read when no settings file is named. */
const usualFile = "steadypour.yaml";

/**
 * The site that the product serves: of the file named, else of `steadypour.yaml` in the working folder, else an empty
 * one whose pages say how to begin. A Fault `settings-invalid` lists every mistake, one a line.
 */
export function readSettings(named: string | null): { readonly site: Site; readonly file: string | null } {
  const file = named ?? (existsSync(usualFile) ? usualFile : null);
  const loaded = loadSettings(file === null ? emptySite : read(file));
  if (loaded.ok) return { site: loaded.site, file: file === null ? null : resolve(file) };
  const words = loaded.mistakes.map((mistake) => mistakeLine(file ?? "", mistake)).join("\n");
  throw new Fault("settings-invalid", words, { retryable: false });
}

const emptySite = new TextEncoder().encode(
  "site: { name: New site, zone: UTC, ambientPressureHpa: 1013.25, ambientPressureOrigin: standard atmosphere }\n",
);

function read(file: string): Uint8Array {
  try {
    return readFileSync(file);
  } catch (cause) {
    const words = `${file}: the settings cannot be read, ${(cause as Error).message}`;
    throw new Fault("settings-invalid", words, { retryable: false, cause });
  }
}
