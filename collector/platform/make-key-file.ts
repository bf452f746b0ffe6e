import { closeSync, existsSync, fsyncSync, linkSync, openSync, rmSync, writeSync } from "node:fs";

/**
 * Makes a key's file unless it is there, for its owner's eyes alone. Under another name first, so that a start which is
 * cut off leaves no half key, and then only if nobody was quicker: two processes may start at once.
 */
export function makeKeyFile(file: string, make: () => string): void {
  if (existsSync(file)) return;
  const fresh = `${file}.${process.pid}`;
  const handle = openSync(fresh, "w", 0o600);
  try {
    writeSync(handle, make());
    fsyncSync(handle);
  } finally {
    closeSync(handle);
  }
  try {
    linkSync(fresh, file);
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code !== "EEXIST") throw error;
  } finally {
    rmSync(fresh);
  }
}
