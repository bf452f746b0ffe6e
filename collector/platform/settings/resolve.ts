import { featureCatalogue } from "../../../spc/features/catalogue.ts";
import { type Characteristic, characteristicId, usualEwma } from "../../../spc/model/characteristic.ts";
import type { PlottedAs } from "../../../spc/model/plotted-as.ts";
import { plainWord } from "../../../spc/model/run.ts";
import type { Specification } from "../../../spc/model/specification.ts";
import type { ShiftClock } from "../../../spc/segment/station-context.ts";
import { weekdays } from "../../../spc/segment/working-time.ts";
import { chartedBy, chartedUnit } from "./charted-by.ts";
import { daysOf } from "./free-days.ts";
import { instrumentPlan, siteInstrument } from "./resolve-instrument.ts";
import { bytesOf, retentionOf } from "./retention-schema.ts";
import { durationMs, type Settings, type StationKind } from "./schema.ts";
import { segmenterConfig } from "./segmenter-config.ts";
import type { Borrowed, ByHand, CharacteristicPlan, Site, SiteSeries, Station } from "./site.ts";
import { zoneOffsets } from "./zone-offsets.ts";

type CharacteristicSettings = StationKind["characteristics"][number];

/** Writes the settings out in full. They must have passed the checks: what does not fit is a defect here. */
export function resolveSite(settings: Settings): Site {
  const { site, shifts, lines, stages, causes, persons, messages } = settings;
  const shiftClock = shiftClockOf(settings);
  return {
    ...site,
    shifts,
    shiftClock,
    latenessMs: durationMs(settings.lateness),
    lines,
    stages,
    sources: settings.sources,
    broker: settings.broker ?? null,
    influx: settings.influx ?? null,
    stations: settings.stations.map((station) => {
      const kind = settings.stationKinds[station.kind];
      if (kind === undefined) throw new RangeError(`no station kind ${station.kind}: the settings were not checked`);
      return resolveStation(station, kind, shiftClock, settings);
    }),
    supplies: settings.supplies,
    causes,
    persons,
    messages: messages ?? null,
    doors: settings.doors ?? { hosts: [], mqtt: [] },
    retention: retentionOf(settings.retention),
    diskBudgetBytes: bytesOf(settings.diskBudget),
  };
}

function shiftClockOf({ site, shifts, freeDays }: Settings): ShiftClock {
  const clock = shifts.map(({ name, from, days }) => {
    const [hours = 0, minutes = 0] = from.split(":").map(Number);
    const on = days === undefined ? {} : { days: days.map((day) => weekdays.indexOf(day)) };
    return { name, fromMs: (hours * 60 + minutes) * 60_000, ...on };
  });
  const free = [...new Set(freeDays.flatMap(daysOf))].sort((a, b) => a - b);
  return {
    shifts: clock.sort((a, b) => a.fromMs - b.fromMs),
    offsets: zoneOffsets(site.zone),
    ...(free.length === 0 ? {} : { freeDays: free }),
  };
}

function resolveStation(
  station: Settings["stations"][number],
  kind: StationKind,
  shiftClock: ShiftClock,
  settings: Settings,
): Station {
  const { id, line, source, fedBy } = station;
  const first = { id: null, runWord: kind.runWord };
  return {
    ...{ id, kind: station.kind, line, source, fedBy },
    stage: kind.stage,
    runWord: kind.runWord,
    series: seriesOf(station, kind),
    borrowed: Object.fromEntries(
      Object.entries(station.borrows).map(([role, lent]) => [role, borrowedOf(lent, settings)]),
    ),
    segmenter: segmenterConfig(kind.segmenter, shiftClock),
    moreRuns: kind.moreRuns.map(({ id, runWord, segmenter, segmentsBy }) => ({
      ...{ id, runWord },
      segmenter: segmenterConfig(segmenter, shiftClock),
      segmentsBy: segmentsBy ?? null,
    })),
    plans: [
      ...kind.characteristics.map((one) => resolvePlan(station.id, one, first, settings.movingRanges)),
      ...kind.moreRuns.flatMap((runs) =>
        runs.characteristics.map((one) => resolvePlan(station.id, one, runs, settings.movingRanges)),
      ),
    ],
    shiftClock,
    context: Object.entries(kind.context).map(([key, { name, choices = [], prefix = null }]) => {
      return { key, name, choices, prefix };
    }),
  };
}

function seriesOf(station: Settings["stations"][number], kind: StationKind): Station["series"] {
  return Object.fromEntries(
    Object.entries(kind.series).map(([role, series]) => [role, resolveSeries(station, role, series)]),
  );
}

function borrowedOf(lent: Settings["stations"][number]["borrows"][string], settings: Settings): Borrowed {
  if (typeof lent === "string") return { by: null, from: { "": lentSeries(lent, settings) } };
  const from = Object.entries(lent.from).map(([word, one]) => [word, lentSeries(one, settings)]);
  return { by: lent.by, from: Object.fromEntries(from) };
}

function lentSeries(from: string, { stations, stationKinds }: Settings): SiteSeries {
  const [lender, role] = from.split("/");
  const station = stations.find(({ id }) => id === lender);
  const series = station === undefined ? undefined : stationKinds[station.kind]?.series[role!];
  if (station === undefined || series === undefined)
    throw new RangeError(`nothing lends ${from}: the settings were not checked`);
  return resolveSeries(station, role!, series);
}

function resolveSeries(
  station: Settings["stations"][number],
  role: string,
  series: StationKind["series"][string],
): SiteSeries {
  return {
    id: `${station.id}/${role}`,
    role,
    station: station.id,
    source: station.source,
    kind: series.kind,
    quantity: series.quantity,
    reference: series.reference ?? null,
    unit: series.unit,
    everyMs: series.every === undefined ? null : durationMs(series.every),
    everyInRunMs: series.everyInRun === undefined ? null : durationMs(series.everyInRun),
    resolution: series.resolution ?? null,
    holds: series.holds ?? false,
    instrument: siteInstrument(series, station.calibrated[role]),
    asked: instrumentPlan(series),
  };
}

function resolvePlan(
  station: string,
  one: CharacteristicSettings,
  { id: runKind, runWord }: { readonly id: string | null; readonly runWord: string },
  movingRanges: Settings["movingRanges"],
): CharacteristicPlan {
  const unit = one.byHand?.unit ?? featureCatalogue[one.feature]?.(one.settings).unit;
  if (unit === undefined) throw new RangeError(`no feature ${one.feature}: the settings were not checked`);
  const made = new Map<string | null, Characteristic>();
  const by = chartedBy(one);
  return {
    feature: one.feature,
    settings: one.settings,
    ...{ runKind, runWord, by },
    byHand: one.byHand === undefined ? null : { ...one.byHand, ...saidOf(one.byHand) },
    parts: by.length === 1 && by[0] === "part" ? Object.keys(one.parts) : [],
    characteristic: (asked) => {
      const part = by.length > 0 && asked !== null && asked !== "" ? asked : null;
      const known = made.get(part);
      if (known !== undefined) return known;
      const fresh = resolveCharacteristic(station, one, part, chartedUnit(one, unit), movingRanges);
      made.set(part, fresh);
      return fresh;
    },
  };
}

function saidOf({ plausible, how }: NonNullable<CharacteristicSettings["byHand"]>): Pick<ByHand, "plausible" | "how"> {
  return { plausible: plausible ?? null, how: how ?? null };
}

function plottedAsOf({ as, parts }: CharacteristicSettings): PlottedAs | null {
  if (as === "value") return null;
  const stated = Object.entries(parts).flatMap(([part, { target, sigma }]) =>
    target === undefined ? [] : [[part, { target, ...(sigma === undefined ? {} : { sigma }) }] as const],
  );
  return { as, parts: Object.fromEntries(stated) };
}

function resolveCharacteristic(
  station: string,
  one: CharacteristicSettings,
  part: string | null,
  unit: string,
  movingRanges: Settings["movingRanges"],
): Characteristic {
  // Of a chart by part and tool, too, the specification is the part's.
  const by = chartedBy(one);
  const plotted = plottedAsOf(one);
  const place = by.indexOf("part");
  const named = part === null || place < 0 ? "" : (part.split(" ")[place] ?? "");
  const own = Object.hasOwn(one.parts, named) ? one.parts[named]?.specification : undefined;
  return {
    id: characteristicId(station, one.feature, part === null ? null : plainWord(part)),
    station,
    feature: one.feature,
    part,
    ...(by.length === 0 ? {} : { by }),
    ...(plotted === null ? {} : { plotted }),
    name: one.name,
    quantity: one.quantity,
    reference: one.as === "value" ? (one.reference ?? null) : "difference",
    unit,
    digits: one.digits,
    chart: one.chart,
    ...(one.subgroup === undefined ? {} : { subgroup: one.subgroup }),
    ...(one.anewWith === undefined ? {} : { anewWith: one.anewWith }),
    ...(one.chart === "ewma" ? { ewma: one.ewma ?? usualEwma } : {}),
    rules: one.rules ?? usualRules(one.chart),
    ...((one.movingRange ?? movingRanges) === "drawn" ? { movingRange: "drawn" as const } : {}),
    specification: (own ?? one.specification ?? null) as Specification | null,
    everyMs: durationMs(one.every),
    policies: one.signals as Characteristic["policies"],
    main: one.main,
    ...(one.source === undefined ? {} : { source: one.source }),
    ...(one.confidence === undefined ? {} : { confidence: one.confidence }),
  };
}

/** An EWMA carries all earlier points in each, so that every pattern would come of itself. */
function usualRules(chart: CharacteristicSettings["chart"]): Characteristic["rules"] {
  return chart === "ewma" ? ["beyond-limit"] : ["beyond-limit", "nine-on-one-side"];
}
