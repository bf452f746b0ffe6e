import { crc32 } from "node:zlib";
import type { BlockHead } from "./block-heads.ts";

/** What a head says but for its id, which the file gives. */
export type HeadFigures = Omit<BlockHead, "id">;

/** Checksum of a head: what is drawn from afar rests on heads alone, and a page that decayed may still be read. */
export function headSum(series: number, { t0, t1, n, valued, min, max, sum }: HeadFigures): number {
  // The file keeps no sign of nought.
  const figures = Float64Array.of(series, t0, t1, n, valued, (min ?? Number.NaN) + 0, (max ?? Number.NaN) + 0, sum + 0);
  return crc32(new Uint8Array(figures.buffer));
}
