import type { Database } from "better-sqlite3";
import type { Sample } from "../../../spc/model/sample.ts";
import type { Counts, IncomingMessage } from "../sample-store.ts";
import type { Counters } from "./counters.ts";
import type { ForwardTable } from "./forward-table.ts";
import type { Lateness, SeriesTimes } from "./lateness.ts";
import type { QuarantineTable } from "./quarantine-table.ts";
import type { RecentRows } from "./recent-rows.ts";
import { sampleMark } from "./sample-mark.ts";
import { sampleRows } from "./sample-rows.ts";
import type { BlockTable } from "./seal/block-table.ts";
import type { Sealer } from "./seal/sealer.ts";
import type { SequenceGaps } from "./sequence-gaps.ts";
import type { SeriesIds } from "./series-ids.ts";
import type { SnapshotTable } from "./snapshot-table.ts";

export interface Tables {
  readonly ids: SeriesIds;
  readonly late: Lateness;
  readonly snapshots: SnapshotTable;
  readonly quarantine: QuarantineTable;
  readonly counts: Counters;
  readonly blocks: BlockTable;
  readonly sealer: Sealer;
  readonly gaps: SequenceGaps;
  readonly recent: RecentRows;
  readonly forward: ForwardTable;
}

/** Makes the function that puts a group of messages on disk in one transaction, or none of it. */
export function messageCommitter(db: Database, tables: Tables): (messages: readonly IncomingMessage[]) => void {
  const { ids, late, snapshots, quarantine, counts, blocks, sealer, gaps, recent, forward } = tables;
  const rows = sampleRows(db);

  /** By name, so that each reading looks for its series once; of a commit that failed nothing of it is trusted. */
  const known = new Map<string, { readonly id: number; readonly times: SeriesTimes }>();

  const seriesOf = (name: string): { readonly id: number; readonly times: SeriesTimes } => {
    const found = known.get(name);
    if (found !== undefined) return found;
    const made = { times: late.timesOf(name), id: ids.find(name) ?? ids.make(name) };
    known.set(name, made);
    return made;
  };

  const addSample = ({ series, tMs, value, quality, attributes }: Sample, arrivedMs: number): void => {
    const { id, times } = seriesOf(series);
    const mark = sampleMark(quality, late.isLate(times, tMs, arrivedMs));
    // A repeat of what is sealed would be kept in the open table until the next sealing, and counted as new.
    if (tMs <= blocks.sealedUntil(id) && blocks.has(id, tMs)) return;
    sealer.wrote(id);
    forward.wrote(id, tMs);
    const words = attributes === undefined ? null : JSON.stringify(attributes);
    // The file keeps no sign of nought.
    recent.wrote(id, tMs, value === 0 ? 0 : value, mark, words);
    rows.add(id, tMs, value, mark, words);
  };

  const addAll = (messages: readonly IncomingMessage[]): Counts => {
    const sum = { ...counts.read() };
    let perItem = 1;
    let samples = 0;
    /** Rows are counted in bulk, over neighbours that make equally many samples of an item. */
    const endBulk = (): void => {
      const { fresh, late: freshLate } = rows.finish();
      sum.stored += Math.round(fresh / perItem);
      sum.late += Math.round(freshLate / perItem);
      sum.duplicate += Math.round((samples - fresh) / perItem);
      samples = 0;
    };
    for (const message of messages) {
      if (message.samplesPerItem !== perItem) {
        endBulk();
        perItem = message.samplesPerItem;
      }
      for (const sample of message.samples) addSample(sample, message.receivedMs);
      samples += message.samples.length;
      late.endMessage();
      gaps.note(message);
      for (const snapshot of message.snapshots) snapshots.add(snapshot);
      if (message.rejections.length > 0) quarantine.add(message);
      sum.received += message.items;
      if (message.qos > 0) sum.acknowledged += message.items;
      sum.quarantined += message.rejections.length;
    }
    endBulk();
    return sum;
  };

  const transaction = db.transaction((messages: readonly IncomingMessage[]) => {
    const next = addAll(messages);
    late.save();
    gaps.save();
    forward.save();
    counts.save(next);
  });

  const commit = (messages: readonly IncomingMessage[]): void => {
    let committed = false;
    const met = blocks.damageMet();
    try {
      transaction.immediate(messages);
      committed = true;
    } catch (error) {
      if (blocks.damageMet() === met) throw error;
    } finally {
      late.settled(committed);
      gaps.settled(committed);
      if (!committed) {
        known.clear();
        rows.forget();
        recent.forget();
        forward.forget();
        ids.reload();
        blocks.reload();
        counts.reload();
      }
    }
    if (!committed) commit(messages);
  };
  return commit;
}
