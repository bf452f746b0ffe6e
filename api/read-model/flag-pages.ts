import type { WireFlag } from "../contract/wire.ts";
import { cursor, cursorFields, isWhole, type Page } from "../paging.ts";

export interface FlagQuery {
  readonly state?: "waiting" | "taken" | "done" | "open" | undefined;
  readonly characteristic?: string | undefined;
  readonly limit: number;
  readonly after?: string | undefined;
}

/** How far a reader has come. Flags may be closed between two pages: none is shown twice or left out for that. */
interface Place {
  /** Journal place at the first page. */
  readonly asOf: number;
  /** Number of the last open flag shown; 0 before the first. */
  readonly open: number;
  /** Of the last closed flag shown, once those are reached. */
  readonly done: { readonly atMs: number; readonly number: number } | null;
}

/** One page of flags, given all in list order: open ones, oldest first, then closed ones, newest first. */
export function flagPage(
  flags: readonly WireFlag[],
  query: FlagQuery,
  now: { readonly seq: number; readonly closedSeq: (id: string) => number | null },
): Page<WireFlag> {
  const start: Place = { asOf: now.seq, open: 0, done: null };
  let place = query.after === undefined ? start : cursorFields(query.after, placeOf);
  const rest = flags.filter((flag) => asked(flag, query) && comesAfter(flag, place, now.closedSeq(flag.id)));
  const items = rest.slice(0, query.limit);
  for (const flag of items) place = moved(place, flag);
  const done = place.done === null ? [] : [place.done.atMs, place.done.number];
  return { items, next: rest.length > items.length ? cursor(place.asOf, place.open, ...done) : null };
}

function asked(flag: WireFlag, { state, characteristic }: FlagQuery): boolean {
  if (characteristic !== undefined && flag.characteristic !== characteristic) return false;
  if (state === undefined) return true;
  return state === "open" ? flag.state !== "done" : flag.state === state;
}

function comesAfter(flag: WireFlag, place: Place, closedSeq: number | null): boolean {
  if (flag.done === null) return place.done === null && flag.number > place.open;
  const shownOpen = (closedSeq ?? 0) > place.asOf && flag.number <= place.open;
  if (shownOpen) return false;
  if (place.done === null) return true;
  const atMs = Date.parse(flag.done.at);
  return atMs < place.done.atMs || (atMs === place.done.atMs && flag.number < place.done.number);
}

function moved(place: Place, flag: WireFlag): Place {
  if (flag.done === null) return { ...place, open: flag.number };
  return { ...place, done: { atMs: Date.parse(flag.done.at), number: flag.number } };
}

function placeOf(fields: unknown[]): Place | undefined {
  if (!fields.every(isWhole) || (fields.length !== 2 && fields.length !== 4)) return undefined;
  const [asOf, open, atMs, number] = fields as [number, number, number?, number?];
  return { asOf, open, done: atMs === undefined || number === undefined ? null : { atMs, number } };
}
