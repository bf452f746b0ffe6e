import type { InfluxAccess } from "../../platform/influx-access.ts";

/** Where the three generations of InfluxDB take lines; with a precision in the path, whatever the client would say. */
export function writePath(access: InfluxAccess, precision: "ms" | "ns"): string {
  const { version, database, retentionPolicy, org } = access;
  if (version === 1) {
    const policy = retentionPolicy === null ? {} : { rp: retentionPolicy };
    return `/write?${new URLSearchParams({ db: database, ...policy, precision })}`;
  }
  const place = version === 2 ? { org, bucket: database } : { bucket: database };
  return `/api/v2/write?${new URLSearchParams({ ...place, precision })}`;
}

/** What a question names: a bucket `name/policy` of version 2 stands under both, as its virtual mapping has it. */
export function queryPlace({ version, database, retentionPolicy }: InfluxAccess): Readonly<Record<string, string>> {
  if (version === 1) return { db: database, ...(retentionPolicy === null ? {} : { rp: retentionPolicy }) };
  const slash = version === 2 ? database.indexOf("/") : -1;
  return slash < 0 ? { db: database } : { db: database.slice(0, slash), rp: database.slice(slash + 1) };
}

/** Host and port, as messages and the log name it. */
export function influxHost({ url }: Pick<InfluxAccess, "url">): string {
  return `InfluxDB at ${new URL(url).host}`;
}
