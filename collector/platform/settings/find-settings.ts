import { readFileSync } from "node:fs";
import { Fault } from "../fault.ts";
import { type LoadedSettings, loadSettings } from "./load.ts";
import { mistakeLine } from "./mistake.ts";
import type { Site } from "./site.ts";

/** Where settings are looked for when none are named. */
const usualFile = "./steadypour.yaml";

const emptySite: Site = {
  name: "Unnamed site",
  zone: "UTC",
  ambientPressureHpa: 1013.25,
  ambientPressureOrigin: "standard atmosphere: no settings file",
  shifts: [],
  latenessMs: 30_000,
  lines: [],
  stages: [],
  sources: [],
  stations: [],
  causes: [],
};

export interface FoundSettings {
  readonly site: Site;
  /** The file it was read from, or null when there is none and the site is empty. */
  readonly file: string | null;
}

/**
 * The site of a settings file: the one named, else `./steadypour.yaml` if it is there, else an empty site. A Fault
 * `settings-unreadable` when the named file cannot be read, `settings-invalid` with one line for every mistake.
 */
export function findSettings(named: string | null): FoundSettings {
  const file = named ?? usualFile;
  const loaded = readSettings(file, named === null);
  if (loaded === null) return { site: emptySite, file: null };
  if (loaded.ok) return { site: loaded.site, file };
  const lines = loaded.mistakes.map((mistake) => mistakeLine(file, mistake));
  throw new Fault("settings-invalid", lines.join("\n"), { retryable: false });
}

/** Null where the file is not there and need not be. */
function readSettings(file: string, mayLack: boolean): LoadedSettings | null {
  let bytes: Uint8Array;
  try {
    bytes = readFileSync(file);
  } catch (error) {
    const { code } = error as NodeJS.ErrnoException;
    if (mayLack && code === "ENOENT") return null;
    throw new Fault("settings-unreadable", `the settings file ${file} cannot be read: ${reason(error)}`, {
      retryable: false,
      cause: error,
    });
  }
  return loadSettings(bytes);
}

function reason(error: unknown): string {
  const { code, message } = error as NodeJS.ErrnoException;
  const words: Readonly<Record<string, string>> = {
    ENOENT: "there is no such file",
    EACCES: "permission is denied",
    EISDIR: "it is a folder",
  };
  return (code === undefined ? undefined : words[code]) ?? message;
}
