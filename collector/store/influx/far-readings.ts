import type { InfluxAccess } from "../../platform/influx-access.ts";
import type { ReadingPort } from "../reading-port.ts";
import { type InfluxQuery, influxQuery } from "./influx-query.ts";
import { influxReadings } from "./influx-readings.ts";

/** A page that waits longer is better told. */
const TIMEOUT_MS = 20_000;

/** Reads for pages, on connections of their own, so that no page waits for the forwarder nor the other way round. */
export function farReadings(access: () => InfluxAccess, site: string): ReadingPort & { close(): void } {
  let known: { readonly words: string; readonly query: InfluxQuery } | null = null;
  const query = (): InfluxQuery => {
    const now = access();
    const words = JSON.stringify(now);
    if (known?.words !== words) {
      known?.query.close();
      known = { words, query: influxQuery(now, TIMEOUT_MS) };
    }
    return known.query;
  };
  // Whatever cannot be read of the files is told to whoever asked.
  const { read, trend } = influxReadings({ ask: async (statement) => query().ask(statement) }, site);
  return { read, trend, close: () => known?.query.close() };
}
