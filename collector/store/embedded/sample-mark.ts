import type { Quality } from "../../../spc/model/sample.ts";

const qualities: readonly Quality[] = ["good", "uncertain", "bad"];

/** Added to the quality's number in the column `mark` when a reading came late. */
export const LATE_MARK = 4;

export function sampleMark(quality: Quality, late: boolean): number {
  const base = quality === "good" ? 0 : quality === "uncertain" ? 1 : 2;
  return late ? base + LATE_MARK : base;
}

export function markQuality(mark: number): Quality {
  const quality = qualities[mark % LATE_MARK];
  if (quality === undefined) throw new RangeError(`not a mark of a stored sample: ${mark}`);
  return quality;
}

export function isLateMark(mark: number): boolean {
  return mark >= LATE_MARK;
}
