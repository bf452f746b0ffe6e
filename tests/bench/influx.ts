import { readdirSync, statSync } from "node:fs";
import { join } from "node:path";
import { influxdb } from "../contract/influxdb.ts";
import { eventually } from "../eventually.ts";
import { type SensorKind, sensorRows } from "./plant-series.ts";

const LINES_A_REQUEST = 10_000;
const CHUNK = 400_000;

/**
 * Bytes a reading that Debian's InfluxDB 1.6 takes for the same points of one series, after it has compacted them:
 * value as a float field, milliseconds as precision, without the index of series.
 */
export async function influxBytes(kind: SensorKind, fromMs: number, count: number): Promise<number> {
  const server = await influxdb({ database: null, compactSoon: true });
  try {
    await server.ask("CREATE DATABASE bench WITH DURATION INF SHARD DURATION 5200w");
    for (let from = 0; from < count; from += CHUNK) {
      const rows = sensorRows(kind, from + 1, fromMs + from * kind.everyMs, Math.min(CHUNK, count - from));
      const written = rows.times.map((tMs, i) => `reading,series=PR-01/p value=${rows.values[i]} ${tMs}`);
      for (let at = 0; at < written.length; at += LINES_A_REQUEST) {
        const body = written.slice(at, at + LINES_A_REQUEST).join("\n");
        const answer = await fetch(`${server.url}/write?db=bench&precision=ms`, { method: "POST", body });
        if (!answer.ok) throw new Error(`InfluxDB answered ${answer.status}: ${await answer.text()}`);
      }
    }
    return (await compacted(server.path)) / count;
  } finally {
    await server.remove();
  }
}

/** Bytes once its log is empty and the files have stood still for some seconds. */
async function compacted(folder: string): Promise<number> {
  let before = { text: "", sinceMs: 0 };
  return eventually(
    "InfluxDB has compacted what it holds",
    () => {
      const files = filesIn(join(folder, "data"));
      const log = filesIn(join(folder, "wal")).reduce((sum, { bytes }) => sum + bytes, 0);
      const text = JSON.stringify(files);
      if (text !== before.text) before = { text, sinceMs: performance.now() };
      const points = files.filter(({ name }) => name.endsWith(".tsm"));
      const still = performance.now() - before.sinceMs > 15_000;
      // Its points alone: the files of its series index are set aside in advance, megabytes of them.
      return still && log < 1_000 && points.length > 0 && points.reduce((sum, { bytes }) => sum + bytes, 0);
    },
    180_000,
    500,
  );
}

function filesIn(folder: string): readonly { readonly name: string; readonly bytes: number }[] {
  return readdirSync(folder, { recursive: true, withFileTypes: true })
    .filter((entry) => entry.isFile())
    .map((entry) => join(entry.parentPath, entry.name))
    .map((name) => ({ name, bytes: statSync(name).size }));
}
