import { featureCatalogue } from "../../../spc/features/catalogue.ts";
import { type Characteristic, characteristicId, usualEwma } from "../../../spc/model/characteristic.ts";
import type { Specification } from "../../../spc/model/specification.ts";
import { bytesOf, retentionOf } from "./retention-schema.ts";
import { durationMs, type Settings, type StationKind } from "./schema.ts";
import type { ByHand, CharacteristicPlan, Site, SiteSeries, Station } from "./site.ts";

type CharacteristicSettings = StationKind["characteristics"][number];

/** Writes the settings out in full. They must have passed the checks: what does not fit is a defect here. */
export function resolveSite(settings: Settings): Site {
  const { site, shifts, lines, stages, causes, persons, messages } = settings;
  return {
    ...site,
    shifts,
    latenessMs: durationMs(settings.lateness),
    lines,
    stages,
    sources: settings.sources,
    broker: settings.broker ?? null,
    stations: settings.stations.map((station) => {
      const kind = settings.stationKinds[station.kind];
      if (kind === undefined) throw new RangeError(`no station kind ${station.kind}: the settings were not checked`);
      return resolveStation(station, kind);
    }),
    causes,
    persons,
    messages: messages ?? null,
    retention: retentionOf(settings.retention),
    diskBudgetBytes: bytesOf(settings.diskBudget),
  };
}

function resolveStation(station: Settings["stations"][number], kind: StationKind): Station {
  return {
    ...station,
    stage: kind.stage,
    runWord: kind.runWord,
    series: Object.fromEntries(
      Object.entries(kind.series).map(([role, series]) => [role, resolveSeries(station, role, series)]),
    ),
    segmenter: kind.segmenter,
    plans: kind.characteristics.map((one) => resolvePlan(station.id, one)),
  };
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
  };
}

function resolvePlan(station: string, one: CharacteristicSettings): CharacteristicPlan {
  const unit = one.byHand?.unit ?? featureCatalogue[one.feature]?.(one.settings).unit;
  if (unit === undefined) throw new RangeError(`no feature ${one.feature}: the settings were not checked`);
  const made = new Map<string | null, Characteristic>();
  return {
    feature: one.feature,
    settings: one.settings,
    byPart: one.byPart,
    byHand: one.byHand === undefined ? null : { ...one.byHand, ...saidOf(one.byHand) },
    parts: Object.keys(one.parts),
    characteristic: (asked) => {
      const part = one.byPart && asked !== null && asked !== "" ? asked : null;
      const known = made.get(part);
      if (known !== undefined) return known;
      const fresh = resolveCharacteristic(station, one, part, unit);
      made.set(part, fresh);
      return fresh;
    },
  };
}

function saidOf({ plausible, how }: NonNullable<CharacteristicSettings["byHand"]>): Pick<ByHand, "plausible" | "how"> {
  return { plausible: plausible ?? null, how: how ?? null };
}

function resolveCharacteristic(
  station: string,
  one: CharacteristicSettings,
  part: string | null,
  unit: string,
): Characteristic {
  const own = part === null || !Object.hasOwn(one.parts, part) ? undefined : one.parts[part]?.specification;
  return {
    id: characteristicId(station, one.feature, part === null ? null : plainPart(part)),
    station,
    feature: one.feature,
    part,
    name: one.name,
    quantity: one.quantity,
    reference: one.reference ?? null,
    unit,
    digits: one.digits,
    chart: one.chart,
    ...(one.subgroup === undefined ? {} : { subgroup: one.subgroup }),
    ...(one.chart === "ewma" ? { ewma: one.ewma ?? usualEwma } : {}),
    rules: one.rules ?? usualRules(one.chart),
    specification: (own ?? one.specification ?? null) as Specification | null,
    everyMs: durationMs(one.every),
    policies: one.signals as Characteristic["policies"],
    main: one.main,
  };
}

/** An EWMA carries all earlier points in each, so that every pattern would come of itself. */
function usualRules(chart: CharacteristicSettings["chart"]): Characteristic["rules"] {
  return chart === "ewma" ? ["beyond-limit"] : ["beyond-limit", "nine-on-one-side"];
}

/** A part's name comes from outside; in an id it must be plain, and two names must never become one. */
function plainPart(part: string): string {
  return part.replaceAll(/[^A-Za-z0-9_.-]/gu, (char) => `~${char.codePointAt(0)!.toString(16)}~`);
}
