import type { Database } from "better-sqlite3";
import type { Behind, ForwardBook, RefusedLine } from "../forward-book.ts";
import type { BlockTable } from "./seal/block-table.ts";
import { HOUR_MS } from "./seal/hour-table.ts";
import type { SeriesIds } from "./series-ids.ts";

/** Readings of one commit that lie no further apart are noted as one stretch. */
const TOGETHER_MS = 60_000;

/** What the tables of readings ask of the book of what was forwarded. */
export interface ForwardTable {
  readonly book: ForwardBook;
  /** Inside a transaction: notes a reading that lies behind what was forwarded or is under way. */
  wrote(series: number, tMs: number): void;
  /** Inside a transaction, at its end. */
  save(): void;
  /** After a transaction that was undone. */
  forget(): void;
  /** Readings of a series before this time have been seen in the long-term store, and may go here. */
  mayGoBefore(series: number): number;
}

interface Stretch {
  readonly series: number;
  fromMs: number;
  toMs: number;
}

interface RefusedRow extends Omit<RefusedLine, "series"> {
  readonly series: number;
}

export function forwardTable(db: Database, ids: SeriesIds, blocks: BlockTable): ForwardTable {
  const put = db.prepare(`
    INSERT INTO forwarded (series, until, seen) VALUES (?, ?, NULL)
    ON CONFLICT (series) DO UPDATE SET until = max(until, excluded.until)`);
  const putSeen = db.prepare("UPDATE forwarded SET seen = ? WHERE series = ?");
  const all = db.prepare<[], { series: number; until: number; seen: number | null }>(
    "SELECT series, until, seen FROM forwarded",
  );
  const note = db.prepare("INSERT INTO behind (series, from_t, to_t) VALUES (?, ?, ?)");
  const oldest = db.prepare<[number], { id: number; series: number; fromMs: number; toMs: number }>(
    "SELECT id, series, from_t AS fromMs, to_t AS toMs FROM behind ORDER BY id LIMIT ?",
  );
  const notes = db.prepare<[], { n: number }>("SELECT COUNT(*) AS n FROM behind");
  const first = db.prepare<[number], { t: number | null }>("SELECT MIN(from_t) AS t FROM behind WHERE series = ?");
  const touching = db.prepare<[number, number, number]>(
    "SELECT 1 FROM behind WHERE series = ? AND from_t < ? AND to_t >= ? LIMIT 1",
  );
  const drop = db.prepare("DELETE FROM behind WHERE id = ?");
  const shrink = db.prepare("UPDATE behind SET from_t = ? WHERE id = ?");
  const refuse = db.prepare("INSERT OR IGNORE INTO refused_line (series, t, code, words, line) VALUES (?, ?, ?, ?, ?)");
  const refusals = db.prepare<[number], RefusedRow>(
    "SELECT series, t AS tMs, code, words, line FROM refused_line ORDER BY rowid DESC LIMIT ?",
  );
  const refusedCount = db.prepare<[], { n: number }>("SELECT COUNT(*) AS n FROM refused_line");
  const refusedIn = db.prepare<[number, number, number], { n: number }>(
    "SELECT COUNT(*) AS n FROM refused_line WHERE series = ? AND t >= ? AND t < ?",
  );
  const oldestOpen = db.prepare<[number], { t: number | null }>("SELECT MIN(t) AS t FROM sample WHERE series = ?");
  const oldestHour = db.prepare<[number], { hour: number | null }>(
    "SELECT MIN(hour) AS hour FROM hour WHERE series = ?",
  );

  /** By the series' number, which are small and close together. */
  const until: number[] = [];
  const claimed: number[] = [];
  const seen = new Map<number, number>();
  for (const row of all.iterate()) {
    until[row.series] = claimed[row.series] = row.until;
    if (row.seen !== null) seen.set(row.series, row.seen);
  }
  /** Of the transaction under way: all stretches, and the newest of each series. */
  let fresh: Stretch[] = [];
  const newest = new Map<number, Stretch>();
  const forget = (): void => {
    fresh = [];
    newest.clear();
  };

  const done = db.transaction((forwarded: Parameters<ForwardBook["done"]>[0]) => {
    for (const [series, untilMs] of forwarded.until) put.run(ids.make(series), untilMs);
    for (const { id, leftFromMs } of forwarded.behind) {
      if (leftFromMs === null) drop.run(id);
      else shrink.run(leftFromMs, id);
    }
    for (const { series, tMs, code, words, line } of forwarded.refused) {
      refuse.run(ids.make(series), tMs, code, words, line);
    }
  });
  const setSeen = db.transaction((times: ReadonlyMap<string, number>) => {
    for (const [series, seenMs] of times) {
      putSeen.run(Number.isFinite(seenMs) ? seenMs : null, ids.find(series) ?? -1);
    }
  });

  const book: ForwardBook = {
    until: (series) => until[ids.find(series) ?? -1] ?? Number.NEGATIVE_INFINITY,
    claim: (series, untilMs) => {
      const id = ids.find(series);
      if (id === undefined) throw new RangeError(`nothing was kept of ${series}`);
      claimed[id] = Math.max(claimed[id] ?? Number.NEGATIVE_INFINITY, untilMs);
    },
    behind: (most) => oldest.all(most).map((row): Behind => ({ ...row, series: ids.name(row.series) })),
    behindCount: () => notes.get()!.n,
    touches: (series, fromMs, toMs) => touching.get(ids.find(series) ?? -1, toMs, fromMs) !== undefined,
    again: (series, fromMs, toMs) => void note.run(ids.find(series), fromMs, toMs),
    done: (forwarded) => {
      done.immediate(forwarded);
      for (const [series, untilMs] of forwarded.until) {
        const id = ids.find(series)!;
        until[id] = Math.max(until[id] ?? Number.NEGATIVE_INFINITY, untilMs);
      }
    },
    seenUntil: (series) => seen.get(ids.find(series) ?? -1) ?? Number.NEGATIVE_INFINITY,
    setSeen: (times) => {
      setSeen.immediate(times);
      for (const [series, seenMs] of times) seen.set(ids.find(series) ?? -1, seenMs);
    },
    refused: (most) => refusals.all(most).map((row) => ({ ...row, series: ids.name(row.series) })),
    refusedCount: () => refusedCount.get()!.n,
    refusedIn: (series, fromMs, toMs) => refusedIn.get(ids.find(series) ?? -1, fromMs, toMs)!.n,
    oldestMs: (series) => {
      const id = ids.find(series);
      if (id === undefined) return undefined;
      const hour = oldestHour.get(id)?.hour ?? null;
      const times = [oldestOpen.get(id)?.t, hour === null ? null : hour * HOUR_MS, blocks.oldest(id)?.t0];
      const known = times.filter((time) => time !== null && time !== undefined);
      return known.length === 0 ? undefined : Math.min(...known);
    },
  };

  return {
    book,
    wrote: (series, tMs) => {
      const line = claimed[series];
      if (line === undefined || tMs > line) return;
      const near = newest.get(series);
      if (near !== undefined && tMs >= near.fromMs - TOGETHER_MS && tMs <= near.toMs + TOGETHER_MS) {
        near.fromMs = Math.min(near.fromMs, tMs);
        near.toMs = Math.max(near.toMs, tMs);
        return;
      }
      const stretch = { series, fromMs: tMs, toMs: tMs };
      newest.set(series, stretch);
      fresh.push(stretch);
    },
    save: () => {
      for (const { series, fromMs, toMs } of fresh) {
        note.run(series, fromMs, toMs);
        // It was counted there without this one.
        if (fromMs >= (seen.get(series) ?? Number.NEGATIVE_INFINITY)) continue;
        putSeen.run(fromMs, series);
        seen.set(series, fromMs);
      }
      forget();
    },
    forget,
    mayGoBefore: (series) => {
      const seenMs = seen.get(series) ?? Number.NEGATIVE_INFINITY;
      const behindMs = first.get(series)?.t ?? Number.POSITIVE_INFINITY;
      return Math.min(seenMs, behindMs);
    },
  };
}
