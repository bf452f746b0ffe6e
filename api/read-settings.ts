import { existsSync, readFileSync } from "node:fs";
import { resolve } from "node:path";
import { Fault } from "../collector/platform/fault.ts";
import { loadSettings } from "../collector/platform/settings/load.ts";
import { mistakeLine } from "../collector/platform/settings/mistake.ts";
import { settingsDigest } from "../collector/platform/settings/settings-digest.ts";
import type { Site } from "../collector/platform/settings/site.ts";

/** Read when no settings file is named. */
export const usualFile = "steadypour.yaml";

/**
 * The site that the product serves: of the file named, else of `steadypour.yaml` in the working folder, else an empty
 * one whose pages say how to begin.
 */
export function readSettings(named: string | null): {
  readonly site: Site;
  readonly file: string | null;
  /** SHA-256 of the file, by which a change of it is known; null where there is none. */
  readonly digest: string | null;
} {
  const file = named ?? (existsSync(usualFile) ? usualFile : null);
  if (file === null) return { site: siteIn(emptySite, ""), file: null, digest: null };
  const bytes = read(file);
  const digest = settingsDigest(bytes);
  return { site: siteIn(bytes, file), file: resolve(file), digest };
}

/** The site that a settings file describes. A Fault `settings-invalid` lists every mistake, one a line. */
export function readSite(file: string): Site {
  return siteIn(read(file), file);
}

const emptySite = new TextEncoder().encode(
  "site: { name: New site, zone: UTC, ambientPressureHpa: 1013.25, ambientPressureOrigin: standard atmosphere }\n",
);

function siteIn(bytes: Uint8Array, file: string): Site {
  const loaded = loadSettings(bytes);
  if (loaded.ok) return loaded.site;
  const words = loaded.mistakes.map((mistake) => mistakeLine(file, mistake)).join("\n");
  throw new Fault("settings-invalid", words, { retryable: false });
}

function read(file: string): Uint8Array {
  try {
    return readFileSync(file);
  } catch (cause) {
    const words = `${file}: the settings cannot be read, ${(cause as Error).message}`;
    throw new Fault("settings-invalid", words, { retryable: false, cause });
  }
}
