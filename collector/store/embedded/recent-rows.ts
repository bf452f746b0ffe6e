import { firstPlace } from "../../../spc/model/first-place.ts";
import type { StoredSample } from "../sample-store.ts";
import type { BlockRows } from "./seal/block-code.ts";
import type { ReadAsk } from "./seal/read-merged.ts";
import { sampleOf } from "./stored-rows.ts";

/** How far back from its newest each series is held, and most rows of one: about what open runs are cut from. */
const HELD_MS = 5 * 60_000;
const MOST_ROWS = 20_000;
/** Rows of all series, 17 bytes each, beyond which those that only wait to be sealed are not held. */
const MOST_WAITING = 1_000_000;
const FIRST_ROOM = 64;

interface Held {
  /** Every row of the series from here on is held. */
  fromMs: number;
  newestMs: number;
  /** Rows from `first` on and before `end`, by columns: an object for each would be most of what the collector of garbage has to do. */
  first: number;
  end: number;
  times: Float64Array;
  /** NaN where there is none. */
  values: Float64Array;
  marks: Uint8Array;
  /** What events carry, by time. */
  readonly words: Map<number, string>;
}

/**
 * The newest rows of each series in memory, because all that is written is read again, to be cut within minutes and to be
 * sealed later, and to fetch a row from the file costs more than to make use of it. It holds nothing that the file does
 * not: a row that is not newer than all others of its series ends what is held, and reads that reach further back go to
 * the file.
 */
export interface RecentRows {
  /** A row on its way to the file. */
  wrote(series: number, tMs: number, value: number | null, mark: number, attributes: string | null): void;
  /** What was written may not be there, or something that was is gone. */
  forget(series?: number): void;
  /** Rows of a range, or null where not all of them are held. */
  read(series: number, name: string, ask: ReadAsk): readonly StoredSample[] | null;
  /** All rows after one time and before another, at most so many; null where not all are held, or some carry attributes. */
  columns(series: number, afterMs: number, beforeMs: number, most: number): BlockRows | null;
}

/**
 * `newestOf`: time of a series' newest row in the file, the row on its way left out; undefined without any.
 * `sealedUntil`: what is newer waits to be sealed.
 */
export function recentRows(
  newestOf: (series: number) => number | undefined,
  sealedUntil: (series: number) => number,
): RecentRows {
  const all = new Map<number, Held>();
  let rows = 0;
  const heldOf = (series: number): Held => {
    const known = all.get(series);
    if (known !== undefined) return known;
    const newestMs = newestOf(series) ?? Number.NEGATIVE_INFINITY;
    const made: Held = { fromMs: newestMs + 1, newestMs, first: 0, end: 0, ...room(FIRST_ROOM), words: new Map() };
    all.set(series, made);
    return made;
  };
  const clear = (held: Held): void => {
    rows -= held.end - held.first;
    held.fromMs = held.newestMs + 1;
    held.first = held.end = 0;
    held.words.clear();
  };
  const mayGo = (series: number, { newestMs, first, end, times, words }: Held): boolean => {
    const tMs = times[first]!;
    if (end - first > MOST_ROWS) return true;
    if (newestMs - tMs <= HELD_MS) return false;
    return words.size > 0 || rows > MOST_WAITING || tMs <= sealedUntil(series);
  };

  return {
    wrote: (series, tMs, value, mark, attributes) => {
      const held = heldOf(series);
      if (tMs <= held.newestMs) return clear(held);
      if (held.end === held.times.length) makeRoom(held);
      held.newestMs = tMs;
      held.times[held.end] = tMs;
      held.values[held.end] = value ?? Number.NaN;
      held.marks[held.end] = mark;
      held.end += 1;
      rows += 1;
      if (attributes !== null) held.words.set(tMs, attributes);
      while (mayGo(series, held)) {
        const firstMs = held.times[held.first]!;
        held.fromMs = firstMs + 1;
        held.first += 1;
        rows -= 1;
        if (held.words.size > 0) held.words.delete(firstMs);
      }
    },
    forget: (series) => {
      for (const one of series === undefined ? [...all.keys()] : [series]) {
        const held = all.get(one);
        if (held !== undefined) clear(held);
        all.delete(one);
      }
    },
    read: (series, name, { fromMs, toMs, markBelow, limit }) => {
      const held = all.get(series);
      if (held === undefined || fromMs < held.fromMs) return null;
      const { times, values, marks, words, end } = held;
      const out: StoredSample[] = [];
      for (let i = placeOf(held, fromMs); i < end && times[i]! < toMs && out.length !== limit; i += 1) {
        if (marks[i]! >= markBelow) continue;
        const tMs = times[i]!;
        const value = values[i]!;
        const attributes = words.size === 0 ? null : (words.get(tMs) ?? null);
        out.push(sampleOf(name, tMs, Number.isNaN(value) ? null : value, marks[i]!, attributes));
      }
      return out;
    },
    columns: (series, afterMs, beforeMs, most) => {
      const held = all.get(series);
      if (held === undefined || afterMs + 1 < held.fromMs || held.words.size > 0) return null;
      const from = placeOf(held, afterMs + 1);
      const to = Math.min(placeOf(held, beforeMs), from + most);
      const times: number[] = [];
      const values: (number | null)[] = [];
      const marks: number[] = [];
      for (let i = from; i < to; i += 1) {
        const value = held.values[i]!;
        times.push(held.times[i]!);
        values.push(Number.isNaN(value) ? null : value);
        marks.push(held.marks[i]!);
      }
      return { times, values, marks };
    },
  };
}

function room(rows: number): Pick<Held, "times" | "values" | "marks"> {
  return { times: new Float64Array(rows), values: new Float64Array(rows), marks: new Uint8Array(rows) };
}

/** What is no longer held makes room where it is half of it or more, else there is twice as much. */
function makeRoom(held: Held): void {
  const { first, end, times, values, marks } = held;
  const { times: t, values: v, marks: m } = 2 * first >= times.length ? held : room(2 * times.length);
  t.set(times.subarray(first, end));
  v.set(values.subarray(first, end));
  m.set(marks.subarray(first, end));
  Object.assign(held, { times: t, values: v, marks: m, first: 0, end: end - first });
}

/** Place of the first row at or after a time. */
function placeOf({ first, end, times }: Held, tMs: number): number {
  return firstPlace(first, end, (place) => times[place]! < tMs);
}
