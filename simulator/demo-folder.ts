import { existsSync, mkdirSync, readdirSync, readFileSync, renameSync, writeFileSync } from "node:fs";
import { join } from "node:path";
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
}

export type OpenedFolder =
  | { readonly ok: true; readonly folder: DemoFolder }
  | { readonly ok: false; readonly words: string };

/** Opens the demo's folder, or begins one whose plant's first instant is `firstMs`. */
export function openDemoFolder(path: string, seed: number, firstMs: number): OpenedFolder {
  mkdirSync(path, { recursive: true });
  const file = plantFile(path);
  const advice = "name another folder in STEADYPOUR_DATA, or move this one away";
  if (!existsSync(file)) {
    if (readdirSync(path).length > 0) {
      return { ok: false, words: `${path} holds something that no demo put there: ${advice}` };
    }
    return { ok: true, folder: write(path, { seed, firstMs }, false) };
  }
  const found = parsed(readFileSync(file, "utf8"));
  if (found === undefined) return { ok: false, words: `${file} cannot be read as a demo's plant: ${advice}` };
  if (found.format !== format) {
    const versions = `format ${String(found.format)}, this one knows ${format}`;
    return { ok: false, words: `${path} was made by another version of the demo (${versions}): ${advice}` };
  }
  const key = { seed: found.seed, firstMs: Date.parse(found.firstInstant) };
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
  const words: PlantFile = { format, seed: key.seed, firstInstant: new Date(key.firstMs).toISOString(), prepared };
  writeFileSync(`${file}.new`, `${JSON.stringify(words, null, 2)}\n`);
  renameSync(`${file}.new`, file);
  return { ...places(path), key, prepared };
}

function places(path: string): { path: string; progress: string; history: string } {
  return { path, progress: join(path, "plant-progress.json"), history: join(path, "past-runs.csv") };
}

function plantFile(path: string): string {
  return join(path, "plant.json");
}
