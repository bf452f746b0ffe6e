import type { CharacteristicPlan, Site } from "../../collector/platform/settings/site.ts";
import { featureCatalogue } from "../../spc/features/catalogue.ts";
import type { FeatureValue } from "../../spc/model/journal-entry.ts";
import { type Run, runId, runOfKind } from "../../spc/model/run.ts";
import { convert, convertDifference } from "../../spc/units/ucum.ts";
import type { CsvRecord } from "./csv.ts";
import type { RunColumn, RunPlaces } from "./import-columns.ts";
import { instantMs } from "./instant.ts";
import { writtenNumber } from "./written-number.ts";

/** One value of one past run. */
export interface RunRow {
  readonly line: number;
  readonly run: Run;
  readonly feature: FeatureValue;
}

type Wrong = (column: RunColumn, expected: string) => void;
type ReadRow = RunRow | { readonly mistakes: readonly string[] };

/** Reads one line against the site: station, feature and unit must exist. Mistakes say line, column, found, expected. */
export function rowReader(site: Site, nowMs: number): (record: CsvRecord, places: RunPlaces) => ReadRow {
  const stations = new Map(
    site.stations.map(({ id, plans }) => [
      id,
      {
        plans: new Map(plans.map((plan) => [plan.feature, plan])),
        runAt: remembered((startMs: number) => ({ id: runId(id, startMs), station: id, startMs })),
      },
    ]),
  );
  // The lines of a run follow one another and say the same times.
  const [startOf, endOf] = [remembered(instantMs), remembered(instantMs)];
  return (record, places) => {
    const mistakes: string[] = [];
    const text = (column: RunColumn): string => record.fields[places[column] ?? -1]?.trim() ?? "";
    const wrong: Wrong = (column, expected) => {
      const place = record.columns[places[column] ?? 0] ?? 1;
      mistakes.push(`${record.line}:${place}: ${column}: found ${text(column) || "nothing"}, expected ${expected}`);
    };
    const columns = Object.keys(places).length;
    if (record.fields.length !== columns) {
      return { mistakes: [`${record.line}:1: found ${record.fields.length} fields, expected ${columns}`] };
    }
    const station = stations.get(text("station"));
    if (station === undefined) wrong("station", "a station of the settings");
    const plan = station?.plans.get(text("feature"));
    if (station !== undefined && plan === undefined) {
      wrong("feature", `one of ${[...station.plans.keys()].join(", ")}`);
    }
    const times = timesOf(text, wrong, nowMs, startOf, endOf);
    const part = text("part") || null;
    if (plan?.by.includes("part") === true && part === null)
      wrong("part", "the part that ran: this feature is charted by part");
    const feature = plan === undefined ? undefined : featureOf(plan, part, text, wrong);
    if (station === undefined || times === undefined || feature === undefined || mistakes.length > 0) {
      return { mistakes };
    }
    const context = { ...(part === null ? {} : { part }), ...(text("run") === "" ? {} : { recordedAs: text("run") }) };
    const first: Run = {
      ...{ ...station.runAt(times.startMs), endMs: times.endMs },
      ...{ closedBy: "imported" as const, segments: [], context },
    };
    const run = plan?.runKind == null ? first : runOfKind(first, plan.runKind);
    return { line: record.line, run, feature };
  };
}

/** Gives what it gave before when it is asked the same again. */
function remembered<A, B>(of: (asked: A) => B): (asked: A) => B {
  let last: { readonly asked: A; readonly given: B } | null = null;
  return (asked) => {
    if (last === null || last.asked !== asked) last = { asked, given: of(asked) };
    return last.given;
  };
}

function timesOf(
  text: (column: RunColumn) => string,
  wrong: Wrong,
  nowMs: number,
  startOf: typeof instantMs,
  endOf: typeof instantMs,
): { readonly startMs: number; readonly endMs: number } | undefined {
  const startMs = startOf(text("start"));
  const endMs = text("end") === "" ? startMs : endOf(text("end"));
  const example = "a time with its offset, such as 2026-09-25T06:00:00Z";
  if (startMs === undefined) wrong("start", example);
  if (endMs === undefined && text("end") !== "") wrong("end", example);
  if (startMs === undefined || endMs === undefined) return undefined;
  if (endMs < startMs) wrong("end", "a time not before the start");
  else if (endMs > nowMs) wrong("end", "a time that has passed: runs to come cannot be taken in");
  return { startMs, endMs };
}

function featureOf(
  plan: CharacteristicPlan,
  part: string | null,
  text: (column: RunColumn) => string,
  wrong: Wrong,
): FeatureValue | undefined {
  const number = writtenNumber(text("value"));
  if (!Number.isFinite(number)) {
    wrong("value", "a number with a decimal point");
    return undefined;
  }
  const { unit: charted, reference, plotted } = plan.characteristic(part);
  // A chart of deviations is drawn of values that are kept, and written down, as they are.
  const unit = plotted === undefined ? charted : featureUnit(plan);
  // A difference of temperatures has no offset: 3 K is 3 K, and Cel would leave open which is meant.
  const between = plotted === undefined && reference === "difference" ? convertDifference : convert;
  const value = text("unit") === unit ? number : between(number, text("unit"), unit);
  if (value === undefined) wrong("unit", `${unit}, or a unit that converts to it`);
  // Version 0: no algorithm of ours made the number.
  return value === undefined ? undefined : { feature: plan.feature, version: 0, unit, value };
}

function featureUnit({ feature, settings, byHand }: CharacteristicPlan): string {
  const unit = byHand?.unit ?? featureCatalogue[feature]?.(settings).unit;
  if (unit === undefined) throw new RangeError(`no feature ${feature}: the settings were not checked`);
  return unit;
}
