import type { ZoneOffsets } from "../../../spc/segment/clock-slot.ts";

/** Readings come from these years; before and after them the first and last offset are taken to hold. */
const firstMs = Date.UTC(2000, 0, 1);
const lastMs = Date.UTC(2070, 0, 1);
/** No zone changes its clocks twice within this. */
const stepMs = 20 * 86_400_000;

const known = new Map<string, ZoneOffsets>();

/** Whether the IANA database has a zone of this name. */
export function isZone(zone: string): boolean {
  if (/^[+-]/.test(zone)) return false;
  try {
    new Intl.DateTimeFormat("en", { timeZone: zone });
    return true;
  } catch (error) {
    if (error instanceof RangeError) return false;
    throw error;
  }
}

/** Offsets of a zone of the IANA database, to the minute: what the pure core is told in place of a zone's name. */
export function zoneOffsets(zone: string): ZoneOffsets {
  const made = known.get(zone) ?? offsetsOf(zone);
  known.set(zone, made);
  return made;
}

function offsetsOf(zone: string): ZoneOffsets {
  const offsetAt = offsetReader(zone);
  const found = [{ fromMs: Number.MIN_SAFE_INTEGER, offsetMs: offsetAt(firstMs) }];
  for (let low = firstMs; low < lastMs; low += stepMs) {
    const before = found.at(-1)!.offsetMs;
    const after = offsetAt(low + stepMs);
    if (after !== before) found.push({ fromMs: changeBetween(offsetAt, low, low + stepMs), offsetMs: after });
  }
  return found;
}

/** The minute in which the offset changes. */
function changeBetween(offsetAt: (tMs: number) => number, fromMs: number, toMs: number): number {
  const before = offsetAt(fromMs);
  let [low, high] = [fromMs / 60_000, toMs / 60_000];
  while (high - low > 1) {
    const middle = Math.floor((low + high) / 2);
    if (offsetAt(middle * 60_000) === before) low = middle;
    else high = middle;
  }
  return high * 60_000;
}

function offsetReader(zone: string): (tMs: number) => number {
  const format = new Intl.DateTimeFormat("sv-SE", {
    timeZone: zone,
    ...{ year: "numeric", month: "2-digit", day: "2-digit", hour: "2-digit", minute: "2-digit", second: "2-digit" },
  });
  return (tMs) => Date.parse(`${format.format(tMs).replace(" ", "T")}Z`) - tMs;
}
