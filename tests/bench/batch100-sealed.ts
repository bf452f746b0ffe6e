import { join } from "node:path";
import { openSampleStore } from "../../collector/store/embedded/embedded-sample-store.ts";
import { openDatabase } from "../../collector/store/embedded/open-database.ts";
import { sampleMigrations } from "../../collector/store/embedded/sample-migrations.ts";
import type { Sample } from "../../spc/model/sample.ts";
import { temporaryFolder } from "../temporary-folder.ts";
import { alternating, type Bench } from "./bench.ts";
import { type SensorKind, sensorKinds, sensorRows } from "./plant-series.ts";

const rounds = 3;
const seriesCount = 10;
const usualRows = 60_000;
const batch = 100;
/** Messages of one commit, as under load. */
const group = 40;
const startMs = Date.UTC(2026, 0, 1);

interface Message {
  readonly series: string;
  readonly samples: readonly Sample[];
}

/**
 * Rows a second of messages with a hundred readings, committed forty at a time, against bare prepared inserts of the same
 * rows into the same table in the same transactions; the second sealed until nothing is left to seal as well.
 */
export const batch100: Bench = batchBench("qos1-batch100", false, 0.9);
export const batch100Sealed: Bench = batchBench("qos1-batch100-sealed", true, 0.6);

function batchBench(name: string, seals: boolean, ask: number): Bench {
  const run: Bench["run"] = async (note) => {
    const messages = batches();
    const rows = messages.length * batch;
    const { ours, baseline, raw } = await alternating(rounds, async (ourFirst) => {
      const rates = { ours: 0, baseline: 0 };
      const work = { ours: () => kept(messages, seals, note), baseline: () => bare(messages) };
      const order = ["ours", "baseline"] as const;
      for (const name of ourFirst ? order : order.toReversed()) rates[name] = (1000 * rows) / work[name]();
      return rates;
    });
    note(`rounds in rows a second: ${JSON.stringify(raw)}`);
    const ratio = ours / baseline;
    return { name, ours, baseline, unit: "rows/s", ratio, better: "higher", ask };
  };
  return { name, run };
}

/** Takes turns from series to series, a hundred readings each, in time order. */
export function batches(
  kind: SensorKind = sensorKinds.steam,
  count: number = seriesCount,
  rowsASeries: number = usualRows,
): readonly Message[] {
  const all = Array.from({ length: count }, (_, n) => {
    const series = `PR-01/p${n}`;
    const { times, values } = sensorRows(kind, n + 1, startMs, rowsASeries);
    return { series, samples: times.map((tMs, i): Sample => ({ series, tMs, value: values[i]!, quality: "good" })) };
  });
  const out: Message[] = [];
  for (let from = 0; from < rowsASeries; from += batch) {
    for (const { series, samples } of all) out.push({ series, samples: samples.slice(from, from + batch) });
  }
  return out;
}

/** Milliseconds that it takes. */
export function kept(messages: readonly Message[], seals: boolean, note: (line: string) => void): number {
  const folder = temporaryFolder();
  const places = { latenessMs: 30_000, find: () => ({ source: "GW", station: "PR-01" }) };
  const store = openSampleStore(folder.path, places);
  const payload = new Uint8Array(0);
  let [longestMs, sealMs] = [0, 0];
  const seal = (): boolean => {
    const began = performance.now();
    const more = store.sealSome();
    const took = performance.now() - began;
    longestMs = Math.max(longestMs, took);
    sealMs += took;
    return more;
  };
  try {
    const began = performance.now();
    for (let from = 0; from < messages.length; from += group) {
      store.commit(
        messages.slice(from, from + group).map(({ samples }) => ({
          ...{ topic: "x", payload, receivedMs: 0, qos: 1 as const, source: "GW", sequence: null, samples },
          ...{ snapshots: [], rejections: [], items: samples.length, samplesPerItem: 1 },
        })),
      );
      // What has come is cut into runs, as the pipeline does a moment later.
      store.settle("PR-01", messages[from]!.samples[0]!.tMs);
      if (seals) seal();
    }
    while (seals && seal());
    const ms = performance.now() - began;
    const bytes = store.usedBytes() / (messages.length * batch);
    note(
      `sealing took ${sealMs.toFixed(0)} of ${ms.toFixed(0)} ms, the longest pause ${longestMs.toFixed(0)} ms; ` +
        `${bytes.toFixed(2)} bytes a reading at the end, what is still open included`,
    );
    return ms;
  } finally {
    store.close();
    folder.remove();
  }
}

export function bare(messages: readonly Message[]): number {
  const folder = temporaryFolder();
  const db = openDatabase(join(folder.path, "bare.sqlite"), sampleMigrations);
  const insert = db.prepare("INSERT OR IGNORE INTO sample (series, t, value, mark) VALUES (?, ?, ?, ?)");
  const ids = new Map<string, number>();
  for (const { series } of messages) if (!ids.has(series)) ids.set(series, ids.size + 1);
  const commit = db.transaction((some: readonly Message[]) => {
    for (const { series, samples } of some) {
      const id = ids.get(series);
      for (const { tMs, value } of samples) insert.run(id, tMs, value, 0);
    }
  });
  try {
    const began = performance.now();
    for (let from = 0; from < messages.length; from += group) commit.immediate(messages.slice(from, from + group));
    return performance.now() - began;
  } finally {
    db.close();
    folder.remove();
  }
}
