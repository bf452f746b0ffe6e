import type { Database } from "better-sqlite3";
import { firstPlace } from "../../../../spc/model/first-place.ts";
import { type BlockRows, type BlockView, decodeBlock, viewBlock } from "./block-code.ts";
import { type BlockHead, blockHeads, type Unreadable, unlessDamaged } from "./block-heads.ts";
import { type HeadFigures, headSum } from "./head-sum.ts";

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
  /** As `rows`, to be summed up. */
  view(series: number, id: number): BlockView | null;
  has(series: number, tMs: number): boolean;
  damaged(): readonly DamagedBlock[];
  /** How often damage was met: a transaction that met some cannot go on, and can be made again without it. */
  damageMet(): number;
  /** After a transaction that was undone. */
  reload(): void;
  /** After another process wrote: the next questions go to the file. */
  forget(): void;
}

/** Blocks read last are kept decoded: a storm of repeats asks for the same one again and again. */
const KEPT_DECODED = 64;

export function blockTable(db: Database): BlockTable {
  const put = db.prepare(
    "INSERT INTO block (series, t0, t1, n, valued, min, max, sum, bytes, head) VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?)",
  );
  const drop = db.prepare<[number], { series: number; t1: number; bytes: number }>(
    "DELETE FROM block WHERE id = ? RETURNING series, t1, length(bytes) AS bytes",
  );
  const weigh = db.prepare(
    "INSERT INTO volume (series, bytes) VALUES (?, ?) ON CONFLICT (series) DO UPDATE SET bytes = excluded.bytes",
  );
  const weights = db.prepare<[], { series: number; bytes: number }>("SELECT series, bytes FROM volume");
  const one = db.prepare<[number], { t0: number; t1: number; bytes: Buffer }>(
    "SELECT t0, t1, bytes FROM block WHERE id = ?",
  );
  const until = new Map<number, number>();
  const volume = new Map<number, number>();
  const decoded = new Map<number, BlockRows>();
  const broken = new Map<number, DamagedBlock>();
  const skipped = new Set<number>();
  let met = 0;
  const note = (
    series: number,
    { id, t0, t1 }: Unreadable,
    why = "the page that it stands on cannot be read",
  ): void => {
    broken.set(id, { series, t0, t1, why });
    skipped.add(id);
    met += 1;
  };
  /** In place of heads whose checksum did not fit: each is asked for as often as any other. */
  const anew = new Map<number, BlockHead>();
  const remade = (series: number, id: number): BlockHead | undefined => {
    const known = anew.get(id);
    if (known !== undefined) return known;
    const held = rows(series, id);
    if (held === null) return undefined;
    const head = { id, ...headOf(held) };
    anew.set(id, head);
    return head;
  };
  const heads = blockHeads(db, { has: (id) => skipped.has(id), note }, remade);

  const forget = (): void => {
    until.clear();
    decoded.clear();
    anew.clear();
    volume.clear();
    for (const { series, bytes } of weights.iterate()) volume.set(series, bytes);
  };
  const lookUp = (series: number): number => {
    const newest = volume.has(series) ? heads.newestMs(series) : undefined;
    const found = newest ?? Number.NEGATIVE_INFINITY;
    until.set(series, found);
    return found;
  };
  /** All at once, because who writes must not meet damage amid a transaction. */
  const reload = (): void => {
    forget();
    for (const series of volume.keys()) lookUp(series);
  };
  const sealedUntil = (series: number): number => until.get(series) ?? lookUp(series);

  const addVolume = (series: number, bytes: number): void => {
    const sum = (volume.get(series) ?? 0) + bytes;
    weigh.run(series, sum);
    volume.set(series, sum);
  };

  const read = <T>(series: number, id: number, decode: (bytes: Uint8Array) => T): T | null => {
    if (skipped.has(id)) return null;
    const found = unlessDamaged(
      () => one.get(id),
      () => void note(series, heads.place(series, id)),
    );
    if (found === undefined) return null;
    try {
      return decode(found.bytes);
    } catch (error) {
      if (!(error instanceof Error)) throw error;
      note(series, { id, t0: found.t0, t1: found.t1 }, error.message);
      return null;
    }
  };
  const rows = (series: number, id: number): BlockRows | null => {
    const kept = decoded.get(id);
    if (kept !== undefined) return kept;
    const block = read(series, id, decodeBlock);
    if (block === null) return null;
    if (decoded.size >= KEPT_DECODED) decoded.delete(decoded.keys().next().value!);
    decoded.set(id, block);
    return block;
  };

  reload();
  return {
    sealedUntil,
    insert: (series, block, bytes) => {
      const head = headOf(block);
      const { t0, t1, n, valued, min, max, sum } = head;
      put.run(series, t0, t1, n, valued, min, max, sum, bytes, headSum(series, head));
      addVolume(series, bytes.length);
      until.set(series, Math.max(until.get(series) ?? Number.NEGATIVE_INFINITY, t1));
    },
    remove: (id) => {
      const gone = drop.get(id);
      decoded.delete(id);
      anew.delete(id);
      // The next block may get its number.
      skipped.delete(id);
      if (gone === undefined) return;
      const { series, t1, bytes } = gone;
      addVolume(series, -bytes);
      if (until.get(series) === t1) lookUp(series);
    },
    endedBefore: heads.endedBefore,
    oldest: heads.oldest,
    volumes: () => volume,
    heads: heads.within,
    home: heads.home,
    rows,
    view: (series, id) => read(series, id, viewBlock),
    has: (series, tMs) => {
      const block = heads.before(series, tMs);
      if (block === undefined || block.t1 < tMs) return false;
      const times = rows(series, block.id)?.times ?? [];
      return times[firstPlace(0, times.length, (place) => times[place]! < tMs)] === tMs;
    },
    damaged: () => [...broken.values()],
    damageMet: () => met,
    reload,
    forget,
  };
}

function headOf({ times, values }: BlockRows): HeadFigures {
  return { t0: times[0]!, t1: times.at(-1)!, n: times.length, ...summary(values) };
}

/**
 * Of the values that are there from one place to another: what a head and an hour keep. A sum that no double holds is
 * infinite, and has no mean.
 */
export function summary(
  values: Float64Array | readonly (number | null)[],
  from = 0,
  to = values.length,
): {
  readonly valued: number;
  readonly min: number | null;
  readonly max: number | null;
  readonly sum: number;
} {
  let valued = 0;
  let min = Number.POSITIVE_INFINITY;
  let max = Number.NEGATIVE_INFINITY;
  let sum = 0;
  for (let i = from; i < to; i += 1) {
    const value = values[i]!;
    if (value === null) continue;
    valued += 1;
    sum += value;
    if (value < min) min = value;
    if (value > max) max = value;
  }
  if (valued === 0) return { valued, min: null, max: null, sum: 0 };
  return { valued, min, max, sum: Number.isFinite(sum) ? sum : Number.POSITIVE_INFINITY };
}
