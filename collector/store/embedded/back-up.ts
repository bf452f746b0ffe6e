import { createHash } from "node:crypto";
import {
  closeSync,
  copyFileSync,
  createReadStream,
  existsSync,
  fsyncSync,
  openSync,
  readdirSync,
  readFileSync,
  renameSync,
  statSync,
  writeFileSync,
} from "node:fs";
import { join } from "node:path";
import { pipeline } from "node:stream/promises";
import Database from "better-sqlite3";
import { Fault } from "../../platform/fault.ts";
import { journalMigrations } from "./journal-migrations.ts";
import { lockDataFolder } from "./lock-data-folder.ts";
import { makeFolder } from "./make-folder.ts";
import { sampleMigrations } from "./sample-migrations.ts";
import { withFaults } from "./store-fault.ts";

/**
 * The journal first: readings copied after it reach at least as far, so that a product started on the copy goes on
 * from the journal's checkpoints and finds every reading it needs.
 */
const files = [
  { name: "journal.sqlite", known: journalMigrations.length },
  { name: "readings.sqlite", known: sampleMigrations.length },
] as const;

const MANIFEST = "backup.json";

interface Manifest {
  readonly at: string;
  readonly product: string;
  readonly files: Readonly<Record<string, { readonly bytes: number; readonly sha256: string }>>;
}

/** Bytes of each file that was written. */
export type CopiedFiles = readonly { readonly name: string; readonly bytes: number }[];

/**
 * Copies what the product keeps into `target`, an empty or new folder, while the product runs: each file as it stands
 * at one moment. The list of files with their hashes is written last, so an unfinished copy cannot pass for one.
 */
export async function backUp(
  folder: string,
  target: string,
  stamp: { readonly at: string; readonly product: string },
): Promise<CopiedFiles> {
  for (const { name } of files) {
    if (!existsSync(join(folder, name))) {
      throw new Fault("data-folder-unusable", `${folder} holds no ${name}, so it is no data folder`, {
        retryable: false,
      });
    }
  }
  mustBeEmpty(target);
  const copied: Record<string, { bytes: number; sha256: string }> = {};
  for (const { name } of files) {
    const to = join(target, name);
    withFaults(join(folder, name), () => {
      const db = new Database(join(folder, name), { readonly: true, timeout: 5_000 });
      try {
        db.prepare("VACUUM INTO ?").run(to);
      } finally {
        db.close();
      }
    });
    sync(to);
    copied[name] = { bytes: statSync(to).size, sha256: await hashOf(to) };
  }
  const manifest: Manifest = { ...stamp, files: copied };
  const part = join(target, `${MANIFEST}.part`);
  writeFileSync(part, `${JSON.stringify(manifest, null, 2)}\n`);
  sync(part);
  renameSync(part, join(target, MANIFEST));
  return Object.entries(copied).map(([name, { bytes }]) => ({ name, bytes }));
}

/** Puts a backup into `folder`, which must be empty or new, after checking every byte of it. */
export async function restore(backup: string, folder: string): Promise<CopiedFiles> {
  const manifest = readManifest(backup);
  for (const { name, known } of files) {
    const file = join(backup, name);
    const expected = manifest.files[name];
    if (expected === undefined || !existsSync(file)) throw invalid(`${backup} holds no ${name}`);
    if (statSync(file).size !== expected.bytes || (await hashOf(file)) !== expected.sha256) {
      throw invalid(`${file} is not what was backed up: its hash differs from the one in ${MANIFEST}`);
    }
    checkDatabase(file, known);
  }
  mustBeEmpty(folder);
  const unlock = lockDataFolder(folder, "collector");
  try {
    for (const { name } of files) {
      copyFileSync(join(backup, name), join(folder, name));
      sync(join(folder, name));
    }
  } finally {
    unlock();
  }
  return files.map(({ name }) => ({ name, bytes: manifest.files[name]!.bytes }));
}

function readManifest(backup: string): Manifest {
  const file = join(backup, MANIFEST);
  if (!existsSync(file)) throw invalid(`${backup} holds no ${MANIFEST}: it is no finished backup`);
  try {
    const manifest = JSON.parse(readFileSync(file, "utf8")) as Manifest;
    if (typeof manifest.files === "object" && manifest.files !== null) return manifest;
  } catch (error) {
    if (!(error instanceof SyntaxError)) throw error;
  }
  throw invalid(`${file} cannot be read as the list of a backup`);
}

function checkDatabase(file: string, known: number): void {
  withFaults(file, () => {
    const db = new Database(file, { readonly: true });
    try {
      const shape = db.pragma("user_version", { simple: true }) as number;
      if (shape > known) {
        throw new Fault("data-newer", `${file} has shape ${shape}, this version of Steadypour knows up to ${known}`, {
          retryable: false,
        });
      }
      const said = db.pragma("quick_check(1)", { simple: true });
      if (said !== "ok") throw new Fault("data-damaged", `${file} is damaged: ${said}`, { retryable: false });
    } finally {
      db.close();
    }
  });
}

function mustBeEmpty(folder: string): void {
  makeFolder(folder);
  const found = readdirSync(folder);
  if (found.length === 0) return;
  throw new Fault("folder-not-empty", `${folder} holds ${found[0]}: an empty or new folder was expected`, {
    retryable: false,
  });
}

async function hashOf(file: string): Promise<string> {
  const hash = createHash("sha256");
  await pipeline(createReadStream(file), hash);
  return hash.digest("hex");
}

function sync(file: string): void {
  const handle = openSync(file, "r+");
  try {
    fsyncSync(handle);
  } finally {
    closeSync(handle);
  }
}

function invalid(message: string): Fault {
  return new Fault("backup-invalid", message, { retryable: false });
}
