import type { WireFlag } from "../../api/contract/wire.ts";

const windowMs = 10 * 60_000;
/** So many new flags in ten minutes are more than a person can take one by one; it is over below the other number. */
const begins = 10;
const ends = 5;

export interface Flood {
  /** New flags of the last ten minutes. */
  readonly count: number;
  /** The one that came first since it began. */
  readonly first: WireFlag;
  /** Stations with one of these flags, in the order in which they came. */
  readonly stations: readonly string[];
}

/** Whether flags come faster than they can be read one by one. What is found late, from the past, is no flood. */
export function floodNow(flags: Iterable<WireFlag>, nowMs: number): Flood | null {
  const found = [...flags]
    .filter((flag) => !flag.late)
    .map((flag) => ({ flag, atMs: Date.parse(flag.foundAt) }))
    .filter(({ atMs }) => atMs <= nowMs)
    .sort((a, b) => a.atMs - b.atMs || a.flag.number - b.flag.number);
  // The count only changes when a flag comes or leaves the window.
  const moments = [...new Set(found.flatMap(({ atMs }) => [atMs, atMs + windowMs]))].sort((a, b) => a - b);
  const within = (atMs: number) => found.filter((one) => one.atMs <= atMs && one.atMs > atMs - windowMs);
  let since: number | null = null;
  for (const atMs of moments) {
    if (atMs > nowMs) break;
    const there = within(atMs);
    if (since === null && there.length >= begins) since = there[0]!.atMs;
    else if (since !== null && there.length < ends) since = null;
  }
  const began = since;
  if (began === null) return null;
  const part = found.filter(({ atMs }) => atMs >= began);
  const stations = [...new Set(part.map(({ flag }) => flag.station))];
  return { count: within(nowMs).length, first: part[0]!.flag, stations };
}
