import { type Database, SqliteError } from "better-sqlite3";
import { headSum } from "./head-sum.ts";

/** A block's head: enough to draw it from afar without reading it. */
export interface BlockHead {
  readonly id: number;
  readonly t0: number;
  readonly t1: number;
  readonly n: number;
  /** Readings with a value. */
  readonly valued: number;
  readonly min: number | null;
  readonly max: number | null;
  readonly sum: number;
}

/** Where a block lies that cannot be read: up to the block after it, for its own end is not known. */
export interface Unreadable {
  readonly id: number;
  readonly t0: number;
  readonly t1: number;
}

export interface BlockHeads {
  /** Heads of the blocks that hold times of [fromMs, toMs), oldest first. */
  within(series: number, fromMs: number, toMs: number): readonly BlockHead[];
  /** The last that begins no later than a time. */
  before(series: number, tMs: number): BlockHead | undefined;
  oldest(series: number): BlockHead | undefined;
  /** Newest time of a series. */
  newestMs(series: number): number | undefined;
  /** The oldest that end before a time. */
  endedBefore(series: number, tMs: number, most: number): readonly BlockHead[];
  /** Id of the block that a late reading belongs into: the last that begins no later, else the first. */
  home(series: number, tMs: number): number | undefined;
  /** Where a block lies, as far as the index alone says. */
  place(series: number, id: number): Unreadable;
}

/** As it stands in the file, with its checksum. */
type StoredHead = BlockHead & { readonly head: number | null };

const columns = "id, t0, t1, n, valued, min, max, sum, head";

export interface Damage {
  /** Known to be unreadable: it is not touched again. */
  has(id: number): boolean;
  note(series: number, block: Unreadable): void;
}

/**
 * Finds blocks by their heads. A head stands on the page of its block; where that page is damaged SQLite gives up the
 * whole question, and inside a transaction the transaction as well. So such a series is asked for by its index, which
 * tells of each block its beginning, and head by head; a transaction that met the damage first must be made again.
 */
export function blockHeads(
  db: Database,
  damage: Damage,
  /** The head anew from what the block holds, where its checksum does not fit; undefined when that is damaged as well. */
  remade: (series: number, id: number) => BlockHead | undefined,
): BlockHeads {
  // Blocks of a series never overlap: of those that begin before a range only the last may reach into it.
  const reach =
    "coalesce((SELECT t0 FROM block WHERE series = :series AND t0 <= :from ORDER BY t0 DESC LIMIT 1), :from)";
  type Range = { readonly series: number; readonly from: number; readonly to: number };
  // The end of a block is asked for only once its checksum was looked at.
  const within = db.prepare<[Range], StoredHead>(
    `SELECT ${columns} FROM block WHERE series = :series AND t0 < :to AND t0 >= ${reach} ORDER BY t0`,
  );
  const ended = db.prepare<[number, number, number], StoredHead>(
    `SELECT ${columns} FROM block WHERE series = ? AND t0 < ? ORDER BY t0 LIMIT ?`,
  );
  const before = db.prepare<[number, number], StoredHead>(
    `SELECT ${columns} FROM block WHERE series = ? AND t0 <= ? ORDER BY t0 DESC LIMIT 1`,
  );
  const oldest = db.prepare<[number], StoredHead>(`SELECT ${columns} FROM block WHERE series = ? ORDER BY t0 LIMIT 1`);
  const newest = db.prepare<[number], StoredHead>(
    `SELECT ${columns} FROM block WHERE series = ? ORDER BY t0 DESC LIMIT 1`,
  );
  const byId = db.prepare<[number], StoredHead>(`SELECT ${columns} FROM block WHERE id = ?`);

  // Of the index (series, t0) alone, which holds the ids as well.
  type Begin = { readonly id: number; readonly t0: number };
  const begins = db.prepare<[number, number, number], Begin>(
    "SELECT id, t0 FROM block WHERE series = ? AND t0 >= ? AND t0 < ? ORDER BY t0",
  );
  const beginBefore = db.prepare<[number, number], Begin>(
    "SELECT id, t0 FROM block WHERE series = ? AND t0 <= ? ORDER BY t0 DESC LIMIT 1",
  );
  const beginAfter = db.prepare<[number, number], Begin>(
    "SELECT id, t0 FROM block WHERE series = ? AND t0 > ? ORDER BY t0 LIMIT 1",
  );
  const everything = [Number.MIN_SAFE_INTEGER, Number.MAX_SAFE_INTEGER] as const;

  const sound = (series: number, stored: StoredHead): readonly BlockHead[] =>
    stored.head === null || stored.head === headSum(series, stored)
      ? [stored]
      : [remade(series, stored.id) ?? []].flat();
  const soundOne = (series: number, stored: StoredHead | undefined): BlockHead | undefined =>
    stored === undefined ? undefined : sound(series, stored)[0];
  const placeOf = (series: number, { id, t0 }: Begin): Unreadable => {
    const next = beginAfter.get(series, t0);
    return { id, t0, t1: next === undefined ? t0 : next.t0 - 1 };
  };
  /** The heads that can be read; those that cannot are told. */
  const eachOf = function* (series: number, some: Iterable<Begin>): Generator<BlockHead> {
    for (const begin of some) {
      if (damage.has(begin.id)) continue;
      const head = unlessDamaged(
        () => byId.get(begin.id),
        () => void damage.note(series, placeOf(series, begin)),
      );
      if (head !== undefined) yield* sound(series, head);
    }
  };
  const careful = new Set<number>();
  const ask = <T>(series: number, quick: () => T, byIndex: () => T): T => {
    if (careful.has(series)) return byIndex();
    return unlessDamaged(quick, () => {
      careful.add(series);
      return byIndex();
    });
  };

  return {
    within: (series, from, to) =>
      ask(
        series,
        () =>
          within
            .all({ series, from, to })
            .flatMap((one) => sound(series, one))
            .filter(({ t1 }) => t1 >= from),
        () => {
          const first = beginBefore.get(series, from)?.t0 ?? from;
          return [...eachOf(series, begins.all(series, first, to))].filter(({ t1 }) => t1 >= from);
        },
      ),
    before: (series, tMs) =>
      ask(
        series,
        () => soundOne(series, before.get(series, tMs)),
        () => {
          const last = beginBefore.get(series, tMs);
          return last === undefined ? undefined : [...eachOf(series, [last])][0];
        },
      ),
    oldest: (series) =>
      ask(
        series,
        () => soundOne(series, oldest.get(series)),
        () => eachOf(series, begins.all(series, ...everything)).next().value ?? undefined,
      ),
    newestMs: (series) =>
      ask(
        series,
        () => {
          const last = newest.get(series);
          return soundOne(series, last)?.t1 ?? last?.t0;
        },
        () => {
          const last = beginBefore.get(series, everything[1]);
          return last === undefined ? undefined : ([...eachOf(series, [last])][0]?.t1 ?? last.t0);
        },
      ),
    endedBefore: (series, tMs, most) =>
      ask(
        series,
        () =>
          ended
            .all(series, tMs, most)
            .flatMap((one) => sound(series, one))
            .filter(({ t1 }) => t1 < tMs),
        () => [...eachOf(series, begins.all(series, everything[0], tMs))].filter(({ t1 }) => t1 < tMs).slice(0, most),
      ),
    home: (series, tMs) => (beginBefore.get(series, tMs) ?? beginAfter.get(series, tMs))?.id,
    place: (series, id) =>
      placeOf(series, begins.all(series, ...everything).find((begin) => begin.id === id) ?? { id, t0: 0 }),
  };
}

/** What was asked; where it stands on a damaged page, the other way to an answer. */
export function unlessDamaged<T>(ask: () => T, otherwise: () => T): T {
  try {
    return ask();
  } catch (error) {
    if (!(error instanceof SqliteError && error.code.startsWith("SQLITE_CORRUPT"))) throw error;
    return otherwise();
  }
}
