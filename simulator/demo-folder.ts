import { existsSync, mkdirSync, readdirSync, readFileSync, renameSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import type { Week } from "./calendar.ts";
import type { PlantKey } from "./plant-layout.ts";

/** Raised when a demo could not go on over what an earlier one left. */
const format = 1;

/** What the demo keeps in its data folder beside the product's own files. */
export interface DemoFolder {
  readonly path: string;
  readonly key: PlantKey;
  /** The past was imported and limits are in force. */
  readonly prepared: boolean;
  /** File that remembers how far the plant's messages were acknowledged. */
  readonly progress: string;
  readonly history: string;
  /** The settings of a plant that works five days a week: those of the demo, with the days of its shifts. */
  readonly settings: string;
}

export type OpenedFolder =
  | { readonly ok: true; readonly folder: DemoFolder }
  | { readonly ok: false; readonly words: string };

/** Opens the demo's folder, or begins one whose plant is `fresh`. A week that is told must be the one that the folder began with. */
export function openDemoFolder(path: string, fresh: PlantKey, told: Week | null = null): OpenedFolder {
  mkdirSync(path, { recursive: true });
  const file = plantFile(path);
  const advice = "name another folder in STEADYPOUR_DATA, or move this one away";
  if (!existsSync(file)) {
    if (readdirSync(path).length > 0) {
      return { ok: false, words: `${path} holds something that no demo put there: ${advice}` };
    }
    return { ok: true, folder: write(path, fresh, false) };
  }
  const found = parsed(readFileSync(file, "utf8"));
  if (found === undefined) return { ok: false, words: `${file} cannot be read as a demo's plant: ${advice}` };
  if (found.format !== format) {
    const versions = `format ${String(found.format)}, this one knows ${format}`;
    return { ok: false, words: `${path} was made by another version of the demo (${versions}): ${advice}` };
  }
  const firstMs = Date.parse(found.firstInstant);
  const key: PlantKey = found.week === 5 ? { seed: found.seed, firstMs, week: 5 } : { seed: found.seed, firstMs };
  if (told !== null && told !== (key.week ?? 7)) {
    return { ok: false, words: `${path} holds a plant that works ${key.week ?? 7} days a week: ${advice}` };
  }
  return { ok: true, folder: { ...places(path), key, prepared: found.prepared } };
}

/** Notes that the past is in and limits are in force, so that no later start does it again. */
export function markPrepared(folder: DemoFolder): void {
  write(folder.path, folder.key, true);
}

interface PlantFile {
  readonly format: unknown;
  readonly seed: number;
  readonly firstInstant: string;
  readonly prepared: boolean;
  /** Left out where it works seven days. */
  readonly week?: Week;
}

function parsed(text: string): PlantFile | undefined {
  try {
    const found = JSON.parse(text) as Partial<PlantFile> | null;
    if (found?.format !== undefined && found.format !== format) return found as PlantFile;
    const whole =
      Number.isSafeInteger(found?.seed) &&
      typeof found?.prepared === "boolean" &&
      typeof found.firstInstant === "string" &&
      !Number.isNaN(Date.parse(found.firstInstant));
    return whole ? (found as PlantFile) : undefined;
  } catch (error) {
    if (error instanceof SyntaxError) return undefined;
    throw error;
  }
}

function write(path: string, key: PlantKey, prepared: boolean): DemoFolder {
  const file = plantFile(path);
  const { seed, firstMs, ...week } = key;
  const words: PlantFile = { format, seed, firstInstant: new Date(firstMs).toISOString(), prepared, ...week };
  writeFileSync(`${file}.new`, `${JSON.stringify(words, null, 2)}\n`);
  renameSync(`${file}.new`, file);
  return { ...places(path), key, prepared };
}

function places(path: string): { path: string; progress: string; history: string; settings: string } {
  const [progress, history] = [join(path, "plant-progress.json"), join(path, "past-runs.csv")];
  return { path, progress, history, settings: join(path, "five-days.yaml") };
}

function plantFile(path: string): string {
  return join(path, "plant.json");
}
