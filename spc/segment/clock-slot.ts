/** Offset of a zone's clocks from UTC, from an instant on, oldest first; the first holds for all before as well. */
export type ZoneOffsets = readonly { readonly fromMs: number; readonly offsetMs: number }[];

/** A stretch of the clock between two edges, half open. */
export interface Slot {
  readonly startMs: number;
  readonly endMs: number;
}

export const dayMs = 86_400_000;

/**
 * Offset of a zone's clocks from UTC at an instant; 0 where none is known.
 *
 * @unit   ms, `tMs` since the epoch
 * @source derived here
 */
export function offsetAt(tMs: number, offsets: ZoneOffsets): number {
  return (offsets.findLast(({ fromMs }) => fromMs <= tMs) ?? offsets[0])?.offsetMs ?? 0;
}

/**
 * The stretch between two edges of the site's clock that an instant lies in.
 *
 * A change of the clocks is an edge itself where it leads from or to one: in an autumn night the hour from two to three
 * comes twice and makes two slots, in a spring night it makes none. Else the slot that holds it is longer or shorter.
 *
 * @shape   edges in ms of the local day, ascending, from 0 to below a day; at least one. Offsets oldest first
 * @unit    ms since the epoch
 * @throws  RangeError for edges or offsets that are none
 * @cost    O(log edges + offsets)
 * @source  derived here
 * @checked tests/unit/spc/segment/clock.test.ts
 */
export function slotAt(tMs: number, edges: readonly number[], offsets: ZoneOffsets): Slot {
  const now = Math.max(
    0,
    offsets.findLastIndex(({ fromMs }) => fromMs <= tMs),
  );
  return { startMs: startOf(tMs, now, edges, offsets), endMs: endOf(tMs, now, edges, offsets) };
}

/**
 * Edges of a day that are edges.
 *
 * @unit   ms of the local day
 * @throws RangeError for none, for one outside the day, or for an order that does not ascend
 * @source derived here
 */
export function checkedEdges(edges: readonly number[], offsets: ZoneOffsets): void {
  const good = edges.every((edge, at) => edge >= 0 && edge < dayMs && (at === 0 || edge > edges[at - 1]!));
  if (edges.length === 0 || !good) throw new RangeError("a clock needs edges that ascend within a day");
  const ordered = offsets.every(({ fromMs }, at) => at === 0 || fromMs > offsets[at - 1]!.fromMs);
  if (offsets.length === 0 || !ordered) throw new RangeError("a clock needs the offsets of its zone, oldest first");
}

function startOf(tMs: number, now: number, edges: readonly number[], offsets: ZoneOffsets): number {
  let at = tMs;
  for (let i = now; ; i -= 1) {
    const { fromMs, offsetMs } = offsets[i]!;
    const startMs = edgeUntil(at + offsetMs, edges) - offsetMs;
    const before = offsets[i - 1];
    if (before === undefined || startMs >= fromMs) return startMs;
    const old = fromMs + before.offsetMs;
    if (edgeUntil(old, edges) === old) return fromMs;
    at = fromMs;
  }
}

function endOf(tMs: number, now: number, edges: readonly number[], offsets: ZoneOffsets): number {
  let at = tMs;
  for (let i = now; ; i += 1) {
    const { offsetMs } = offsets[i]!;
    const endMs = edgeAfter(at + offsetMs, edges) - offsetMs;
    const next = offsets[i + 1];
    if (next === undefined || endMs <= next.fromMs) return endMs;
    const fresh = next.fromMs + next.offsetMs;
    if (edgeUntil(fresh, edges) === fresh) return next.fromMs;
    at = next.fromMs;
  }
}

/** The last edge that is not after a local time. */
function edgeUntil(localMs: number, edges: readonly number[]): number {
  const day = Math.floor(localMs / dayMs) * dayMs;
  const edge = edges.findLast((one) => day + one <= localMs);
  return edge === undefined ? day - dayMs + edges.at(-1)! : day + edge;
}

/** The first edge after a local time. */
function edgeAfter(localMs: number, edges: readonly number[]): number {
  const day = Math.floor(localMs / dayMs) * dayMs;
  const edge = edges.find((one) => day + one > localMs);
  return edge === undefined ? day + dayMs + edges[0]! : day + edge;
}
