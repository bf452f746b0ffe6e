import type { Database } from "better-sqlite3";
import type { Snapshot } from "../../decode/decoder.ts";
import type { SampleRange } from "../sample-store.ts";
import type { SeriesIds } from "./series-ids.ts";

export interface SnapshotTable {
  /** Inside a transaction. */
  add(snapshot: Snapshot): void;
  read(range: SampleRange): readonly Snapshot[];
  prune(range: SampleRange, keepMs: number | null): void;
}

interface Row {
  readonly tMs: number;
  readonly rateHz: number;
  readonly scale: number;
  readonly samples: Uint8Array;
}

export function snapshotTable(db: Database, ids: SeriesIds): SnapshotTable {
  const insert = db.prepare("INSERT OR IGNORE INTO snapshot (series, t, rate, scale, samples) VALUES (?, ?, ?, ?, ?)");
  const select = db.prepare<[number, number, number], Row>(
    "SELECT t AS tMs, rate AS rateHz, scale, samples FROM snapshot WHERE series = ? AND t >= ? AND t < ? ORDER BY t",
  );
  const drop = db.prepare("DELETE FROM snapshot WHERE series = ? AND t >= ? AND t < ? AND t IS NOT ?");
  return {
    add: ({ series, tMs, rateHz, scale, samples }) => void insert.run(ids.make(series), tMs, rateHz, scale, samples),
    read: ({ series, fromMs, toMs }) => {
      const id = ids.find(series);
      return id === undefined ? [] : select.all(id, fromMs, toMs).map((row) => ({ series, ...row }));
    },
    prune: ({ series, fromMs, toMs }, keepMs) => {
      const id = ids.find(series);
      if (id !== undefined) drop.run(id, fromMs, toMs, keepMs);
    },
  };
}
