import type { CharacteristicPlan, Site } from "../../collector/platform/settings/site.ts";
import type { FeatureValue } from "../../spc/model/journal-entry.ts";
import { type Run, runId } from "../../spc/model/run.ts";
import { convert } from "../../spc/units/ucum.ts";
import type { CsvRecord } from "./csv.ts";

/** One value of one past run. */
export interface RunRow {
  readonly run: Run;
  readonly feature: FeatureValue;
}

const required = ["run", "station", "start", "end", "feature", "value", "unit"] as const;
const known = [...required, "part"] as const;
type Column = (typeof known)[number];
type Places = Readonly<Partial<Record<Column, number>>>;

/** Where each column stands, from the first line. */
export function columnsOf(header: CsvRecord): { readonly places: Places; readonly missing: readonly string[] } {
  const names = header.fields.map((name) => name.trim().toLowerCase());
  const places: Partial<Record<Column, number>> = {};
  for (const column of known) {
    const at = names.indexOf(column);
    if (at >= 0) places[column] = at;
  }
  return { places, missing: required.filter((column) => places[column] === undefined) };
}

type Read = RunRow | { readonly mistakes: readonly string[] };

/** Reads one line against the site: its station, feature and unit must exist. Mistakes say line, column, found, expected. */
export function rowReader(site: Site): (record: CsvRecord, places: Places) => Read {
  const stations = new Map(site.stations.map((station) => [station.id, station]));
  return (record, places) => {
    const mistakes: string[] = [];
    const text = (column: Column): string => record.fields[places[column] ?? -1]?.trim() ?? "";
    const wrong = (column: Column, expected: string): void => {
      const place = record.columns[places[column] ?? 0] ?? 1;
      mistakes.push(`${record.line}:${place}: ${column}: found ${text(column) || "nothing"}, expected ${expected}`);
    };
    const instant = (column: "start" | "end", otherwise: number | null): number => {
      if (text(column) === "" && otherwise !== null) return otherwise;
      const ms = instantMs(text(column));
      if (ms === undefined) wrong(column, "a time such as 2026-09-25T06:00:00Z");
      return ms ?? 0;
    };

    const station = stations.get(text("station"));
    if (station === undefined) wrong("station", "a station of the settings");
    const plan = station?.plans.find(({ feature }) => feature === text("feature"));
    if (station !== undefined && plan === undefined) {
      wrong("feature", `one of ${station.plans.map(({ feature }) => feature).join(", ")}`);
    }
    const startMs = instant("start", null);
    const endMs = instant("end", startMs);
    if (mistakes.length === 0 && endMs < startMs) wrong("end", "a time not before the start");
    const part = text("part") || null;
    if (plan?.byPart === true && part === null) wrong("part", "the part that ran: this feature is charted by part");
    const value = plan === undefined ? undefined : convertedValue(plan, part, text("value"), text("unit"), wrong);
    if (mistakes.length > 0 || station === undefined || plan === undefined || value === undefined) return { mistakes };
    const context = { ...(part === null ? {} : { part }), ...(text("run") === "" ? {} : { recordedAs: text("run") }) };
    const run: Run = {
      id: runId(station.id, startMs),
      station: station.id,
      startMs,
      endMs,
      closedBy: "imported",
      segments: [],
      context,
    };
    // Version 0: no algorithm of ours made the number.
    const unit = plan.characteristic(part).unit;
    return { run, feature: { feature: plan.feature, version: 0, unit, value } };
  };
}

function convertedValue(
  plan: CharacteristicPlan,
  part: string | null,
  text: string,
  unit: string,
  wrong: (column: "value" | "unit", expected: string) => void,
): number | undefined {
  const number = /^[+-]?(\d+\.?\d*|\.\d+)(e[+-]?\d+)?$/i.test(text) ? Number(text) : Number.NaN;
  if (!Number.isFinite(number)) {
    wrong("value", "a number with a decimal point");
    return undefined;
  }
  const own = plan.characteristic(part).unit;
  const value = unit === own ? number : convert(number, unit, own);
  if (value === undefined) wrong("unit", `${own}, or a unit that converts to it`);
  return value;
}

/** An offset is asked for: a local time without one means two instants a year. */
function instantMs(text: string): number | undefined {
  if (!/^\d{4}-\d\d-\d\dT\d\d:\d\d(:\d\d(\.\d{1,9})?)?(Z|[+-]\d\d:\d\d)$/.test(text)) return undefined;
  const ms = Date.parse(text);
  return Number.isNaN(ms) ? undefined : ms;
}
