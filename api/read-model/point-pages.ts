import type { Journal } from "../../collector/store/journal.ts";
import type { PointRecord } from "../../spc/model/journal-entry.ts";
import { cursor, cursorFields, isWhole, type Page } from "../paging.ts";
import type { Charted } from "./charted.ts";
import { limitsInForce } from "./charted.ts";
import { importedPoints } from "./imported-points.ts";

/** Where a page goes on: after a streamed point's journal place, or after an imported run. */
type Place = { readonly seq: number } | { readonly atMs: number; readonly run: string };

export interface PointQuery {
  readonly order: "newest-first" | "oldest-first";
  readonly limit: number;
  readonly after?: string | undefined;
}

/** Points of a characteristic, a page at a time. New ones that come meanwhile neither repeat nor hide any. */
export function pointPage(journal: Journal, charted: Charted, query: PointQuery, nowMs: number): Page<PointRecord> {
  const after = query.after === undefined ? null : cursorFields(query.after, placeOf);
  return query.order === "newest-first"
    ? newestFirst(journal, charted, query.limit, after, nowMs)
    : oldestFirst(journal, charted, query.limit, after, nowMs);
}

function newestFirst(journal: Journal, charted: Charted, limit: number, after: Place | null, nowMs: number) {
  const ended = after !== null && "run" in after;
  const beforeSeq = after !== null && "seq" in after ? { beforeSeq: after.seq } : {};
  const streamed = ended ? [] : streamedPoints(journal, charted, { ...beforeSeq, newestFirst: true }, limit + 1);
  const { count } = charted.imported;
  // The place after this run is one beyond its own, and it has been shown.
  const to = ended ? charted.imported.placeAfter(after.atMs, after.run) - 1 : count;
  const from = Math.max(0, to - Math.max(0, limit + 1 - streamed.length));
  const imported = importedPoints(charted.characteristic, charted.imported, limitsInForce(charted, nowMs), from, to);
  return paged([...streamed, ...imported.toReversed()], limit);
}

function oldestFirst(journal: Journal, charted: Charted, limit: number, after: Place | null, nowMs: number) {
  const started = after !== null && "seq" in after;
  const { count, placeAfter } = charted.imported;
  const from = started ? count : after === null ? 0 : placeAfter(after.atMs, after.run);
  const to = Math.min(count, from + limit + 1);
  const imported = importedPoints(charted.characteristic, charted.imported, limitsInForce(charted, nowMs), from, to);
  const afterSeq = started ? { afterSeq: after.seq } : {};
  const streamed = streamedPoints(journal, charted, afterSeq, limit + 1 - imported.length);
  return paged([...imported, ...streamed], limit);
}

type Placed = PointRecord & { readonly seq?: number };

function streamedPoints(
  journal: Journal,
  charted: Charted,
  where: { readonly beforeSeq?: number; readonly afterSeq?: number; readonly newestFirst?: boolean },
  limit: number,
): Placed[] {
  if (limit <= 0) return [];
  const entries = journal.read({ kinds: ["point"], subject: charted.characteristic.id, ...where, limit });
  return entries.flatMap((entry) => (entry.kind === "point" ? [{ ...entry.body, seq: entry.seq }] : []));
}

function paged(found: readonly Placed[], limit: number): Page<PointRecord> {
  const items = found.slice(0, limit);
  const last = items.at(-1);
  const next = found.length > limit && last !== undefined ? cursorOf(last) : null;
  return { items, next };
}

function cursorOf(point: Placed): string {
  return point.seq === undefined ? cursor("i", point.atMs, point.run) : cursor("s", point.seq);
}

function placeOf([kind, at, run]: unknown[]): Place | undefined {
  if (kind === "s" && isWhole(at)) return { seq: at };
  return kind === "i" && isWhole(at) && typeof run === "string" ? { atMs: at, run } : undefined;
}
