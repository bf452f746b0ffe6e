import type { Database } from "better-sqlite3";
import { type BlockRows, decodeBlock } from "./block-code.ts";

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

/** A block that cannot be read; its readings are lost, all others are not. */
export interface DamagedBlock {
  readonly series: number;
  readonly t0: number;
  readonly t1: number;
  readonly why: string;
}

export interface BlockTable {
  /** Newest sealed time of a series; -Infinity when nothing of it is sealed. */
  sealedUntil(series: number): number;
  /** Inside a transaction. */
  insert(series: number, rows: BlockRows, bytes: Uint8Array): void;
  /** Inside a transaction. */
  remove(id: number): void;
  /** Ids and readings of the oldest blocks that end before a time. */
  endedBefore(series: number, tMs: number, most: number): readonly { readonly id: number; readonly n: number }[];
  oldest(series: number): { readonly t0: number; readonly t1: number } | undefined;
  /** Bytes of all blocks, by series. */
  volumes(): ReadonlyMap<number, number>;
  /** Heads of the blocks that hold times of [fromMs, toMs), oldest first. */
  heads(series: number, fromMs: number, toMs: number): readonly BlockHead[];
  /** Id of the block that a late reading belongs into: the last that begins no later, else the first. */
  home(series: number, tMs: number): number | undefined;
  /** The readings of a block; null when it is damaged, which is remembered. */
  rows(series: number, id: number): BlockRows | null;
  has(series: number, tMs: number): boolean;
  damaged(): readonly DamagedBlock[];
  /** After a transaction that was undone. */
  reload(): void;
}

/** Blocks read last are kept decoded: a storm of repeats asks for the same one again and again. */
const KEPT_DECODED = 64;

export function blockTable(db: Database): BlockTable {
  const put = db.prepare(
    "INSERT INTO block (series, t0, t1, n, valued, min, max, sum, bytes) VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?)",
  );
  const drop = db.prepare<[number], { series: number; t1: number; bytes: number }>(
    "DELETE FROM block WHERE id = ? RETURNING series, t1, length(bytes) AS bytes",
  );
  // Blocks of a series never overlap: of those that begin before a range only the last may reach into it.
  const within = db.prepare<[{ series: number; from: number; to: number }], BlockHead>(`
    SELECT id, t0, t1, n, valued, min, max, sum FROM block
    WHERE series = :series AND t1 >= :from AND t0 < :to AND t0 >= coalesce(
      (SELECT t0 FROM block WHERE series = :series AND t0 <= :from ORDER BY t0 DESC LIMIT 1), :from)
    ORDER BY t0`);
  const ended = db.prepare<[number, number, number, number], { id: number; n: number }>(
    "SELECT id, n FROM block WHERE series = ? AND t0 < ? AND t1 < ? ORDER BY t0 LIMIT ?",
  );
  const newest = db.prepare<[number], { t1: number }>("SELECT t1 FROM block WHERE series = ? ORDER BY t0 DESC LIMIT 1");
  const weigh = db.prepare(
    "INSERT INTO volume (series, bytes) VALUES (?, ?) ON CONFLICT (series) DO UPDATE SET bytes = excluded.bytes",
  );
  const weights = db.prepare<[], { series: number; bytes: number }>("SELECT series, bytes FROM volume");
  const before = db.prepare<[number, number], { id: number; t0: number; t1: number }>(
    "SELECT id, t0, t1 FROM block WHERE series = ? AND t0 <= ? ORDER BY t0 DESC LIMIT 1",
  );
  const oldest = db.prepare<[number], { id: number; t0: number; t1: number }>(
    "SELECT id, t0, t1 FROM block WHERE series = ? ORDER BY t0 LIMIT 1",
  );
  const one = db.prepare<[number], { t0: number; t1: number; bytes: Buffer }>(
    "SELECT t0, t1, bytes FROM block WHERE id = ?",
  );
  const ends = db.prepare<[], { series: number; t1: number }>(
    "SELECT series, MAX(t1) AS t1 FROM block GROUP BY series",
  );
  const until = new Map<number, number>();
  const volume = new Map<number, number>();
  const decoded = new Map<number, BlockRows>();
  const broken = new Map<number, DamagedBlock>();

  const reload = (): void => {
    until.clear();
    decoded.clear();
    volume.clear();
    for (const { series, bytes } of weights.iterate()) volume.set(series, bytes);
    for (const { series, t1 } of ends.iterate()) until.set(series, t1);
  };
  reload();

  const addVolume = (series: number, bytes: number): void => {
    const sum = (volume.get(series) ?? 0) + bytes;
    weigh.run(series, sum);
    volume.set(series, sum);
  };

  const rows = (series: number, id: number): BlockRows | null => {
    const kept = decoded.get(id);
    if (kept !== undefined) return kept;
    const found = one.get(id);
    if (found === undefined) return null;
    try {
      const block = decodeBlock(found.bytes);
      if (decoded.size >= KEPT_DECODED) decoded.delete(decoded.keys().next().value!);
      decoded.set(id, block);
      return block;
    } catch (error) {
      if (!(error instanceof Error)) throw error;
      broken.set(id, { series, t0: found.t0, t1: found.t1, why: error.message });
      return null;
    }
  };

  return {
    sealedUntil: (series) => until.get(series) ?? Number.NEGATIVE_INFINITY,
    insert: (series, block, bytes) => {
      const { times, values } = block;
      const { valued, min, max, sum } = summary(values);
      put.run(series, times[0], times.at(-1), times.length, valued, min, max, sum, bytes);
      addVolume(series, bytes.length);
      until.set(series, Math.max(until.get(series) ?? Number.NEGATIVE_INFINITY, times.at(-1)!));
    },
    remove: (id) => {
      const gone = drop.get(id);
      decoded.delete(id);
      if (gone === undefined) return;
      const { series, t1, bytes } = gone;
      addVolume(series, -bytes);
      if (until.get(series) !== t1) return;
      const before = newest.get(series);
      if (before === undefined) until.delete(series);
      else until.set(series, before.t1);
    },
    endedBefore: (series, tMs, most) => ended.all(series, tMs, tMs, most),
    oldest: (series) => oldest.get(series),
    volumes: () => volume,
    heads: (series, from, to) => within.all({ series, from, to }),
    home: (series, tMs) => (before.get(series, tMs) ?? oldest.get(series))?.id,
    rows,
    has: (series, tMs) => {
      const block = before.get(series, tMs);
      if (block === undefined || block.t1 < tMs) return false;
      return placeOf(rows(series, block.id)?.times ?? [], tMs) >= 0;
    },
    damaged: () => [...broken.values()],
    reload,
  };
}

/** Of the values that are there: what a head and an hour keep. */
export function summary(values: readonly (number | null)[]): {
  readonly valued: number;
  readonly min: number | null;
  readonly max: number | null;
  readonly sum: number;
} {
  let valued = 0;
  let min = Number.POSITIVE_INFINITY;
  let max = Number.NEGATIVE_INFINITY;
  let sum = 0;
  for (const value of values) {
    if (value === null) continue;
    valued += 1;
    sum += value;
    if (value < min) min = value;
    if (value > max) max = value;
  }
  return valued === 0 ? { valued, min: null, max: null, sum: 0 } : { valued, min, max, sum };
}

/** Place of a time in ascending times, or -1. */
function placeOf(times: readonly number[], tMs: number): number {
  let low = 0;
  let high = times.length - 1;
  while (low <= high) {
    const middle = (low + high) >> 1;
    const found = times[middle]!;
    if (found === tMs) return middle;
    if (found < tMs) low = middle + 1;
    else high = middle - 1;
  }
  return -1;
}
