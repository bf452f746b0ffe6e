import { InfluxDB, Point } from "@influxdata/influxdb-client";
import { forwarder } from "../../collector/forward/forwarder.ts";
import { systemClock } from "../../collector/platform/clock.ts";
import { openLog } from "../../collector/platform/log.ts";
import { openSampleStore } from "../../collector/store/embedded/embedded-sample-store.ts";
import type { SampleStore } from "../../collector/store/sample-store.ts";
import { type InfluxServer, influxdb } from "../contract/influxdb.ts";
import { incoming } from "../contract/store/incoming.ts";
import { eventually } from "../eventually.ts";
import { memoryJournal } from "../fakes/memory-journal.ts";
import { findCommand } from "../system/find-command.ts";
import { temporaryFolder } from "../temporary-folder.ts";
import { alternating, type Bench } from "./bench.ts";
import { sensorKinds, sensorRows } from "./plant-series.ts";

const seriesCount = 20;
const perSeries = 10_000;
const rounds = 7;
const fromMs = Date.UTC(2026, 0, 1);
const site = "ostrimvale";

interface Filled {
  readonly store: SampleStore;
  readonly points: readonly {
    readonly series: string;
    readonly times: readonly number[];
    readonly values: readonly number[];
  }[];
}

/**
 * Points a second from our file into InfluxDB, up to the moved watermark and with the count of each day, against the
 * client's own write of the same points out of memory, in batches of the size that its pages recommend.
 */
export const influxForward: Bench = {
  name: "influx-forward",
  run: async (note) => {
    if (findCommand("influxd") === undefined) {
      note("skipped: influxd is not on this machine; it comes with Debian's package influxdb");
      return null;
    }
    const folder = temporaryFolder();
    const server = await influxdb({ database: null });
    const { store, points } = filled(folder.path);
    const total = seriesCount * perSeries;
    let made = 0;
    try {
      const { ours, baseline, raw } = await alternating(rounds, async (ourFirst) => {
        const variants = [
          (database: string): Promise<number> => forwarded(server, database, store),
          (database: string): Promise<number> => written(server, database, points),
        ] as const;
        const rates = [0, 0];
        for (const which of ourFirst ? [0, 1] : [1, 0]) {
          made += 1;
          await server.ask(`CREATE DATABASE "b${made}"`);
          rates[which] = total / (await variants[which as 0 | 1](`b${made}`));
          const [there] = await server.ask(
            `SELECT count("mark") FROM "reading" WHERE time >= 0 AND time < '2030-01-01'`,
            `b${made}`,
          );
          if (there?.["count"] !== total) throw new Error(`${String(there?.["count"])} of ${total} points arrived`);
          await server.ask(`DROP DATABASE "b${made}"`);
        }
        return { ours: rates[0]!, baseline: rates[1]! };
      });
      note(`${total} points of ${seriesCount} series; ${JSON.stringify(raw)}`);
      return {
        name: "influx-forward",
        ours,
        baseline,
        unit: "points/s",
        ratio: ours / baseline,
        better: "higher",
        ask: 1,
      };
    } finally {
      store.close();
      await server.remove();
      folder.remove();
    }
  },
};

function filled(folder: string): Filled {
  const places = { latenessMs: 30_000, find: (series: string) => ({ source: "GW", station: series.split("/")[0]! }) };
  const store = openSampleStore(folder, places);
  const points = Array.from({ length: seriesCount }, (_, i) => {
    const series = `OV-${i}/temperature`;
    const { times, values } = sensorRows({ ...sensorKinds.oven, jitterMs: 0 }, i + 1, fromMs, perSeries);
    for (let from = 0; from < perSeries; from += 5_000) {
      const part = times.slice(from, from + 5_000);
      const samples = part.map((tMs, k) => ({ series, tMs, value: values[from + k]!, quality: "good" as const }));
      store.commit([incoming(samples, { source: "GW" })]);
    }
    store.settle(`OV-${i}`, fromMs + perSeries * 1_000);
    return { series, times, values };
  });
  while (store.sealSome());
  return { store, points };
}

/** Seconds until all has arrived; the book is set back before, so that each round forwards all of it. */
async function forwarded(server: InfluxServer, database: string, store: SampleStore): Promise<number> {
  for (const series of store.seriesNames()) {
    if (store.forwarding.until(series) > 0) store.forwarding.again(series, fromMs, fromMs + perSeries * 1_000);
  }
  const access = {
    url: server.url,
    version: 1,
    database,
    retentionPolicy: null,
    org: "",
    authorization: null,
    ca: null,
  } as const;
  const parts = { store, journal: memoryJournal(), clock: systemClock, log: openLog("silent") };
  const one = forwarder({ ...parts, access: () => access, site });
  const stopping = new AbortController();
  const since = performance.now();
  const running = one.run(stopping.signal);
  await eventually("all has arrived", () => one.status().forwarded >= seriesCount * perSeries, 120_000, 2);
  const seconds = (performance.now() - since) / 1_000;
  stopping.abort();
  await running;
  return seconds;
}

async function written(server: InfluxServer, database: string, points: Filled["points"]): Promise<number> {
  const since = performance.now();
  const batchSize = 5_000;
  // A batch that fills by itself is sent beside all others, and nobody hears of its failure: sixty at once met resets.
  const api = new InfluxDB({ url: server.url }).getWriteApi("", database, "ms", { batchSize: batchSize + 1 });
  api.path = `/write?db=${database}&precision=ms`;
  for (const { series, times, values } of points) {
    for (let i = 0; i < times.length; i += 1) {
      const point = new Point("reading").tag("series", series).tag("site", site).intField("mark", 0);
      api.writePoint(point.floatField("value", values[i]).timestamp(times[i]));
      if (i % batchSize === batchSize - 1) await api.flush();
    }
  }
  await api.close();
  return (performance.now() - since) / 1_000;
}
