import { lineWriter } from "../../collector/store/influx/influx-line.ts";
import { influxQuery } from "../../collector/store/influx/influx-query.ts";
import { influxReadings } from "../../collector/store/influx/influx-readings.ts";
import { influxWriter } from "../../collector/store/influx/influx-writer.ts";
import { influxdb } from "../contract/influxdb.ts";
import { findCommand } from "../system/find-command.ts";
import { alternating, type Bench } from "./bench.ts";
import { sensorKinds, sensorRows } from "./plant-series.ts";

const days = 365;
const columns = 2_000;
const fromMs = Date.UTC(2025, 0, 1);
const toMs = fromMs + days * 86_400_000;
const series = "DR-1/supply-rh";
const site = "ostrimvale";
const rounds = 7;

/** A year of one series in 2,000 columns out of InfluxDB, against the bare question and nothing made of its answer. */
export const readFar: Bench = {
  name: "read-far",
  run: async (note) => {
    if (findCommand("influxd") === undefined) {
      note("skipped: influxd is not on this machine; it comes with Debian's package influxdb");
      return null;
    }
    const server = await influxdb();
    const access = {
      url: server.url,
      version: 1,
      database: "steadypour",
      retentionPolicy: null,
      org: "",
      authorization: null,
      ca: null,
    } as const;
    const [writer, query] = [influxWriter(access), influxQuery(access)];
    try {
      const kind = sensorKinds.humidity;
      const count = (days * 86_400_000) / kind.everyMs;
      const { times, values } = sensorRows(kind, 1, fromMs, count);
      const lines = lineWriter(site);
      for (let from = 0; from < count; from += 5_000) {
        const some = times
          .slice(from, from + 5_000)
          .map((tMs, i) => lines.reading({ series, tMs, value: values[from + i]!, quality: "good", late: false }));
        await writer.write(some);
      }
      const far = influxReadings(query, site);
      const width = Math.ceil((toMs - fromMs) / columns / 3_600_000) * 3_600_000;
      const statement =
        `SELECT count("mark"), count("value"), min("value"), max("value"), sum("value") FROM "reading" ` +
        `WHERE "site" = '${site}' AND "series" = '${series}' AND time >= ${fromMs}ms AND time < ${toMs}ms ` +
        `GROUP BY time(${width}ms, ${fromMs % width}ms) fill(none)`;
      const bare = `${server.url}/query?${new URLSearchParams({ db: "steadypour", epoch: "ms", q: statement })}`;
      const asked = async (): Promise<number> => {
        const since = performance.now();
        await (await fetch(bare)).text();
        return performance.now() - since;
      };
      const ours = async (): Promise<number> => {
        const since = performance.now();
        const found = await far.trend({ series, fromMs, toMs }, columns);
        const ms = performance.now() - since;
        const n = found.reduce((sum, column) => sum + column.n, 0);
        if (Math.abs(n - count) > 2) throw new Error(`${n} readings in the columns, ${count} written`);
        return ms;
      };
      await asked();
      const { raw, ...rates } = await alternating(rounds, async (ourFirst) => {
        const first = await (ourFirst ? ours() : asked());
        const second = await (ourFirst ? asked() : ours());
        const [own, base] = ourFirst ? [first, second] : [second, first];
        return { ours: 60_000 / own, baseline: 60_000 / base };
      });
      note(`${count} readings; answers a minute: ${JSON.stringify(raw)}`);
      const ratio = rates.ours / rates.baseline;
      return { name: "read-far", ...rates, unit: "answers/min", ratio, better: "higher", ask: 0.9 };
    } finally {
      writer.close();
      query.close();
      await server.remove();
    }
  },
};
