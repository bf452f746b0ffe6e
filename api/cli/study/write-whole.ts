import { closeSync, fsyncSync, openSync, renameSync, rmSync, writeSync } from "node:fs";
import { UsageError } from "../usage-error.ts";
import { onOneLine } from "./shown.ts";

/** Writes a file whole or not at all: beside its place first, then moved there. */
export function writeWhole(option: string, file: string, text: string): void {
  const beside = `${file}.${process.pid}.part`;
  try {
    const handle = openSync(beside, "wx");
    try {
      const bytes = Buffer.from(text);
      for (let at = 0; at < bytes.length; ) at += writeSync(handle, bytes, at);
      fsyncSync(handle);
    } finally {
      closeSync(handle);
    }
    renameSync(beside, file);
  } catch (error) {
    rmSync(beside, { force: true });
    const { code } = error as NodeJS.ErrnoException;
    if (code === undefined) throw error;
    throw new UsageError(
      `--${option}: found ${onOneLine(file)}, which cannot be written (${code}), expected a place for a file`,
    );
  }
}
