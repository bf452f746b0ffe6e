import type { InfluxAccess } from "../../platform/influx-access.ts";
import { influxHost } from "./influx-address.ts";
import { tagValue } from "./influx-line.ts";
import { type InfluxQuery, quoted } from "./influx-query.ts";
import { InfluxTrouble } from "./influx-trouble.ts";
import type { InfluxWriter } from "./influx-writer.ts";

export interface InfluxFound {
  /** What the server calls its version; null where it does not say. */
  readonly version: string | null;
  /** How long it keeps readings, as far as it says; null for ever. */
  readonly keepsMs: number | null;
}

/**
 * Whether readings can go there and come back, found out by doing it: one point is written and read, because a server
 * that says it is well may still refuse our password, and a wrong retention policy gives an empty answer and no error.
 * Rejects with an InfluxTrouble whose words say what to look at.
 */
export async function checkInflux(
  access: InfluxAccess,
  parts: { readonly writer: InfluxWriter; readonly query: InfluxQuery; readonly site: string; readonly nowMs: number },
): Promise<InfluxFound> {
  const { writer, query, site, nowMs } = parts;
  const where = influxHost(access);
  const version = await query.version();
  const said = /^v?(\d+)\./.exec(version ?? "");
  if (said !== null && Number(said[1]) !== access.version) {
    const words = `${where} says that it is version ${version}, the settings say ${access.version}: look at version of influx`;
    throw new InfluxTrouble("configuration", "influx-wrong-version", words);
  }
  const keepsMs = await retention(access, query);
  await writer.write([`probe,site=${tagValue(site)} n=${nowMs}i ${nowMs}`]);
  const found = await query.ask(
    `SELECT "n" FROM "probe" WHERE "site" = ${quoted(site)} AND time >= ${nowMs}ms AND time < ${nowMs + 1}ms`,
  );
  if (found[0]?.rows.length !== 1) {
    const words = `${where} took a point and does not give it back: look at database and retention policy`;
    throw new InfluxTrouble("configuration", "influx-unreadable", words);
  }
  return { version, keepsMs };
}

/** Of version 1, what its policy says; of the others it is a matter of the bucket, and not asked. */
async function retention(access: InfluxAccess, query: InfluxQuery): Promise<number | null> {
  if (access.version !== 1) return null;
  const database = `"${access.database.replaceAll("\\", "\\\\").replaceAll('"', '\\"')}"`;
  const [policies] = await query.ask(`SHOW RETENTION POLICIES ON ${database}`);
  if (policies === undefined) return null;
  const place = (name: string): number => policies.columns.indexOf(name);
  const row = policies.rows.find((one) =>
    access.retentionPolicy === null ? one[place("default")] === true : one[place("name")] === access.retentionPolicy,
  );
  if (row === undefined) {
    const words = `${influxHost(access)} has no retention policy ${access.retentionPolicy ?? "by default"} on ${access.database}`;
    throw new InfluxTrouble("configuration", "influx-no-database", words);
  }
  return durationMs(String(row[place("duration")] ?? "0s"));
}

/** A duration as InfluxDB writes it (`168h0m0s`); null for 0, which is for ever. */
function durationMs(text: string): number | null {
  const unitMs = { h: 3_600_000, m: 60_000, s: 1_000 };
  const parts = [...text.matchAll(/(\d+)([hms])/g)];
  const sum = parts.reduce((ms, [, count, unit]) => ms + Number(count) * unitMs[unit as "h" | "m" | "s"], 0);
  return sum === 0 ? null : sum;
}
