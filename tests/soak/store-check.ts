import { copyFileSync, existsSync, readFileSync } from "node:fs";
import { join } from "node:path";
import Database from "better-sqlite3";
import { loadSettings } from "../../collector/platform/settings/load.ts";
import type { Site } from "../../collector/platform/settings/site.ts";
import { openSiteData } from "../../collector/start.ts";
import { temporaryFolder } from "../temporary-folder.ts";
import type { SampleKey, StreamMessage } from "./plant-stream.ts";

/**
 * The demo's settings, but for a wider window: a source that says nothing for so long by our clock counts as complete,
 * and a machine under load can be slower with a whole stream than the plant's own window is long.
 */
export const siteSettings = readFileSync(join("simulator", "ostrimvale.yaml"), "utf8").replace(
  /^lateness: .*$/m,
  "lateness: 50 s",
);
export const site: Site = demoSite();

/** Samples that messages leave in the store: a waveform becomes eight of each axis. */
export function samplesOf(messages: readonly StreamMessage[]): number {
  const keys = messages.flatMap((message) => message.keys);
  return keys.reduce((sum, key) => sum + (key.series.endsWith(".rms") ? 8 : 1), 0);
}

/** Those of the messages that are not in the store exactly as they were sent, each with the first reading that is not. */
export function missingOf(folder: string, messages: readonly StreamMessage[]): ReadonlyMap<StreamMessage, SampleKey> {
  const data = openSiteData(folder, site);
  const wanted = new Map<string, [fromMs: number, toMs: number]>();
  for (const { series, tMs } of messages.flatMap(({ keys }) => keys)) {
    const [from, to] = wanted.get(series) ?? [tMs, tMs];
    wanted.set(series, [Math.min(from, tMs), Math.max(to, tMs)]);
  }
  const stored = new Map(
    [...wanted].map(([series, [fromMs, to]]) => {
      const found = data.samples.read({ series, fromMs, toMs: to + 1 }, { includeLate: true });
      return [series, new Map(found.map((sample) => [sample.tMs, sample.value]))];
    }),
  );
  data.close();
  const isMissing = ({ series, tMs, value }: SampleKey): boolean => {
    const found = stored.get(series)?.get(tMs);
    return value === null ? found === undefined : found !== value;
  };
  const missing = new Map<StreamMessage, SampleKey>();
  for (const message of messages) {
    const first = message.keys.find(isMissing);
    if (first !== undefined) missing.set(message, first);
  }
  return missing;
}

/**
 * The same of a product that was just killed, and of nothing it did later: looks at a copy, so that it is the product
 * that must find its way out of the files it left.
 */
export function missingAfterKill(
  folder: string,
  messages: readonly StreamMessage[],
): ReadonlyMap<StreamMessage, SampleKey> {
  const copy = temporaryFolder();
  try {
    for (const name of ["readings.sqlite", "readings.sqlite-wal"]) {
      if (existsSync(join(folder, name))) copyFileSync(join(folder, name), join(copy.path, name));
    }
    return missingOf(copy.path, messages);
  } finally {
    copy.remove();
  }
}

export interface Tables {
  /** Rows of readings in all, sealed or open, each place counted: a reading that is in both counts twice. */
  readonly rows: number;
  /** As the product counts what it stored. */
  readonly stored: number;
  readonly gaps: ReadonlyMap<string, number>;
}

export function tablesOf(folder: string): Tables {
  const db = new Database(join(folder, "readings.sqlite"), { readonly: true });
  const sql = "SELECT (SELECT COUNT(*) FROM sample) + (SELECT COALESCE(SUM(n), 0) FROM block) AS n";
  const rows = db.prepare<[], { n: number }>(sql).get()!.n;
  db.close();
  const data = openSiteData(folder, site);
  const { stored } = data.samples.counts();
  const gaps = data.samples.sequenceGaps();
  data.close();
  return { rows, stored, gaps };
}

function demoSite(): Site {
  const settings = loadSettings(Buffer.from(siteSettings));
  if (!settings.ok) throw new Error(JSON.stringify(settings.mistakes));
  if (settings.site.latenessMs !== 50_000) throw new Error("the demo's settings no longer state their lateness");
  return settings.site;
}
