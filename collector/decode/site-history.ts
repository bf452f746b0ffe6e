import type { Site } from "../platform/settings/site.ts";
import { seriesCatalogue } from "./catalogue.ts";
import { csvLong } from "./csv-long.ts";
import { csvWide } from "./csv-wide.ts";
import { type HistoryOptions, type HistoryReader, HistoryRows } from "./history.ts";
import { lineProtocol } from "./line-protocol.ts";

const formats = { "csv-long": csvLong, "csv-wide": csvWide, "line-protocol": lineProtocol } as const;

export type HistoryFormat = keyof typeof formats;

/** A reader of one file, and where its readings are gathered: checked against the site as if they came at `receivedMs`. */
export function siteHistory(
  site: Site,
  format: HistoryFormat,
  options: HistoryOptions,
  receivedMs: number,
): { readonly reader: HistoryReader; readonly rows: HistoryRows } {
  return { reader: formats[format](options), rows: new HistoryRows(seriesCatalogue(site), receivedMs) };
}
