import { isUtf8 } from "node:buffer";
import { closeSync, fstatSync, openSync, readSync } from "node:fs";
import { UsageError } from "./usage-error.ts";

/** Whole lines of a file that stand next to one another. */
export interface Lines {
  /** Null for a line that is no UTF-8. */
  readonly texts: readonly (string | null)[];
  /** Number of the first, from 1. */
  readonly first: number;
  /** Where, in bytes, the next line begins. */
  readonly end: number;
}

const CHUNK_BYTES = 262_144;
const LONGEST_LINE = 4 * 1_048_576;
const NEWLINE = 10;

/** Reads a file of any size some thousand lines at a time, from a byte where a line begins. */
export function* linesOf(file: string, from: { readonly offset: number; readonly line: number }): Generator<Lines> {
  const fd = opened(file);
  try {
    let held = Buffer.alloc(0);
    let { offset, line } = from;
    for (let position = offset; ; ) {
      const chunk = Buffer.allocUnsafe(CHUNK_BYTES);
      const got = readSync(fd, chunk, 0, CHUNK_BYTES, position);
      position += got;
      held = Buffer.concat([held, chunk.subarray(0, got)]);
      const whole = got === 0 ? held.length : held.lastIndexOf(NEWLINE) + 1;
      if (whole > 0) {
        const texts = textsOf(held.subarray(0, whole));
        offset += whole;
        if (line === 1 && texts[0]?.startsWith("\uFEFF") === true) texts[0] = texts[0].slice(1);
        yield { texts, first: line, end: offset };
        line += texts.length;
        held = held.subarray(whole);
      }
      if (got === 0) return;
      if (held.length > LONGEST_LINE) throw new UsageError(`${file}:${line}:1: found a line of over 4 MiB`);
    }
  } finally {
    closeSync(fd);
  }
}

/** Size and time of change: what tells a file from another of its name. */
export function fileMark(file: string): { readonly size: number; readonly changedMs: number } {
  const fd = opened(file);
  try {
    const { size, mtimeMs } = fstatSync(fd);
    return { size, changedMs: mtimeMs };
  } finally {
    closeSync(fd);
  }
}

function opened(file: string): number {
  try {
    const fd = openSync(file, "r");
    if (fstatSync(fd).isFile()) return fd;
    closeSync(fd);
  } catch (error) {
    throw new UsageError(`${file}: cannot be read, ${error instanceof Error ? error.message : String(error)}`);
  }
  throw new UsageError(`${file}: is no file`);
}

function textsOf(bytes: Buffer): (string | null)[] {
  const ends = bytes.at(-1) === NEWLINE ? bytes.length - 1 : bytes.length;
  if (isUtf8(bytes)) return bytes.toString("utf8", 0, ends).split("\n").map(withoutReturn);
  const out: (string | null)[] = [];
  for (let from = 0; from <= ends; ) {
    const at = bytes.indexOf(NEWLINE, from);
    const end = at < 0 ? ends : at;
    const line = bytes.subarray(from, end);
    out.push(isUtf8(line) ? withoutReturn(line.toString("utf8")) : null);
    from = end + 1;
  }
  return out;
}

function withoutReturn(text: string): string {
  return text.endsWith("\r") ? text.slice(0, -1) : text;
}
