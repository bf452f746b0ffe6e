import { mkdirSync, readdirSync, statSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { eventually } from "../eventually.ts";
import { findCommand } from "../system/find-command.ts";
import { freePort } from "../system/free-port.ts";
import { start } from "../system/running-process.ts";
import { temporaryFolder } from "../temporary-folder.ts";
import { type SensorKind, sensorRows } from "./plant-series.ts";

const LINES_A_REQUEST = 10_000;
const CHUNK = 400_000;

/**
 * Bytes a reading that Debian's InfluxDB 1.6 takes for the same points of one series, after it has compacted them:
 * value as a float field, milliseconds as precision, without the index of series. Null where it is not on this machine.
 */
export async function influxBytes(kind: SensorKind, fromMs: number, count: number): Promise<number | null> {
  const command = findCommand("influxd");
  if (command === undefined) return null;
  const folder = temporaryFolder();
  const [http, rpc] = [await freePort(), await freePort()];
  const config = join(folder.path, "influxdb.conf");
  const dir = (name: string): string => {
    mkdirSync(join(folder.path, name));
    return join(folder.path, name);
  };
  const lines = [
    "reporting-disabled = true",
    `bind-address = "127.0.0.1:${rpc}"`,
    `[meta]\n dir = "${dir("meta")}"`,
    // What was not written to for a second is compacted to its smallest form; the default is four hours.
    `[data]\n dir = "${dir("data")}"\n wal-dir = "${dir("wal")}"\n query-log-enabled = false`,
    ' cache-snapshot-write-cold-duration = "1s"\n compact-full-write-cold-duration = "1s"',
    `[http]\n bind-address = "127.0.0.1:${http}"\n log-enabled = false`,
    "[monitor]\n store-enabled = false",
  ];
  writeFileSync(config, `${lines.join("\n")}\n`);
  const server = start(command, ["-config", config], { HOME: folder.path });
  const url = `http://127.0.0.1:${http}`;
  const post = async (path: string, body: string): Promise<void> => {
    const form = { "Content-Type": "application/x-www-form-urlencoded" };
    const answer = await fetch(`${url}${path}`, { method: "POST", body, headers: form });
    if (!answer.ok) throw new Error(`InfluxDB answered ${answer.status}: ${await answer.text()}`);
    await answer.arrayBuffer();
  };
  try {
    await eventually("InfluxDB answers", async () => (await fetch(`${url}/ping`)).status === 204, 30_000);
    await post("/query", `q=${encodeURIComponent("CREATE DATABASE bench WITH DURATION INF SHARD DURATION 5200w")}`);
    for (let from = 0; from < count; from += CHUNK) {
      const rows = sensorRows(kind, from + 1, fromMs + from * kind.everyMs, Math.min(CHUNK, count - from));
      const written = rows.times.map((tMs, i) => `reading,series=PR-01/p value=${rows.values[i]} ${tMs}`);
      for (let at = 0; at < written.length; at += LINES_A_REQUEST) {
        await post("/write?db=bench&precision=ms", written.slice(at, at + LINES_A_REQUEST).join("\n"));
      }
    }
    return (await compacted(folder.path)) / count;
  } finally {
    await server.stop();
    folder.remove();
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
