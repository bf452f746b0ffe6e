import { type BlockRows, decodeBlock, encodeBlock } from "./block-code.ts";

/** What one 4 KiB page holds of a blob beside its row's other columns. */
const PAGE_BYTES = 3_900;
const LEAST_ROWS = 64;
const MOST_ROWS = 16_384;
/** A block that fills less of its page than this is tried again with more rows, while there are more. */
const WELL_FILLED = 0.8;

export interface FittedBlock {
  readonly rows: BlockRows;
  readonly bytes: Buffer;
}

/** How many rows a block of a series is likely to hold, from the bytes that a reading of its last block took. */
export function likelyRows(bytesPerReading: number): number {
  return Math.min(Math.max(Math.floor(PAGE_BYTES / bytesPerReading), LEAST_ROWS), MOST_ROWS);
}

/**
 * The next block of `rows` from place `from`: as many as one page holds. Null when fewer are left than it would hold
 * and `evenPartly` is not asked for. What was encoded has been decoded and compared.
 */
export function fitBlock(
  rows: BlockRows,
  from: number,
  bytesPerReading: number,
  evenPartly: boolean,
): FittedBlock | null {
  const left = rows.times.length - from;
  let count = Math.min(likelyRows(bytesPerReading), left);
  for (let attempt = 0; ; attempt += 1) {
    const part = slice(rows, from, from + count);
    const bytes = encodeBlock(part);
    const fill = bytes.length / PAGE_BYTES;
    if (fill > 1 && count > LEAST_ROWS) {
      count = Math.max(Math.floor((0.95 * count) / fill), LEAST_ROWS);
      continue;
    }
    if (fill < WELL_FILLED && attempt < 2 && count < Math.min(left, MOST_ROWS)) {
      count = Math.min(Math.floor((0.92 * count) / fill), left, MOST_ROWS);
      continue;
    }
    if (fill < WELL_FILLED && count === left && count < MOST_ROWS && !evenPartly) return null;
    compare(part, decodeBlock(bytes));
    return { rows: part, bytes };
  }
}

function slice({ times, values, marks }: BlockRows, from: number, to: number): BlockRows {
  return { times: times.slice(from, to), values: values.slice(from, to), marks: marks.slice(from, to) };
}

/** The rows are deleted next, so nothing rests on the code being right. */
function compare(rows: BlockRows, back: BlockRows): void {
  for (let i = 0; i < rows.times.length; i += 1) {
    const same =
      rows.times[i] === back.times[i] && Object.is(rows.values[i], back.values[i]) && rows.marks[i] === back.marks[i];
    if (!same) throw new Error(`a sealed block would change the reading at ${rows.times[i]}`);
  }
}
