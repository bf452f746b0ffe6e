import { featureCatalogue } from "../../../spc/features/catalogue.ts";
import type { FeatureExtractor } from "../../../spc/model/run.ts";
import { dimensionOf, unitsOfQuantity } from "../../../spc/units/ucum.ts";
import { reducedMeasures } from "../../../spc/vibration/reduce.ts";
import { checkPolicies } from "./check-policies.ts";
import type { Finding, SettingsPath } from "./mistake.ts";
import type { SegmenterSettings, StationKind } from "./schema.ts";
import { oneOf } from "./schema-words.ts";

type SeriesSettings = StationKind["series"][string];
type CharacteristicSettings = StationKind["characteristics"][number];

/** Whether the parts of one station kind fit together: series, segmenter, features, units, charts, policies. */
export function checkKind(kind: StationKind, path: SettingsPath): readonly Finding[] {
  return [
    ...Object.entries(kind.series).flatMap(([role, series]) => seriesFindings(role, series, kind, path)),
    ...segmenterFindings(kind.segmenter, kind, [...path, "segmenter"]),
    ...kind.characteristics.flatMap((one, index) =>
      characteristicFindings(one, index, kind, [...path, "characteristics", index]),
    ),
    ...mainFindings(kind, path),
  ];
}

/** Roles by which the segmenter and the features find a station's samples; a waveform is known by what it is reduced to. */
export function rolesOf(kind: StationKind): ReadonlyMap<string, SeriesSettings["kind"]> {
  return new Map(
    Object.entries(kind.series).flatMap(([role, series]) =>
      series.kind === "waveform"
        ? reducedMeasures.map((measure) => [`${role}.${measure}`, "reading"] as const)
        : [[role, series.kind] as const],
    ),
  );
}

function seriesFindings(
  role: string,
  series: SeriesSettings,
  kind: StationKind,
  path: SettingsPath,
): readonly Finding[] {
  const at = [...path, "series", role];
  const found: Finding[] = [];
  if (series.kind === "event") {
    if (series.unit !== "1")
      found.push({ path: [...at, "unit"], expected: '"1": an event carries a number of no unit' });
    if (series.everyInRun !== undefined)
      found.push({ path: [...at, "everyInRun"], expected: "no spacing in a run: events come when they come" });
  } else {
    const fitting = unitsOfQuantity[series.quantity];
    const good = fitting === undefined ? dimensionOf(series.unit) !== undefined : fitting.includes(series.unit);
    if (!good)
      found.push({
        path: [...at, "unit"],
        expected: `a UCUM code for ${series.quantity}: ${fitting?.join(", ") ?? "such as bar, Cel, %, s"}`,
      });
    if (series.every === undefined && series.everyInRun === undefined) {
      found.push({
        path: at,
        found: "neither every nor everyInRun",
        expected: "one of them: silence and coverage are judged against it",
      });
    }
    if (series.quantity === "steam-pressure" && series.reference !== "gauge" && series.reference !== "absolute") {
      found.push({ path: [...at, "reference"], expected: "gauge or absolute: a pressure means nothing without it" });
    }
  }
  const measure = reducedMeasures.find((one) => role.endsWith(`.${one}`));
  if (measure !== undefined && kind.series[role.slice(0, -measure.length - 1)]?.kind === "waveform") {
    found.push({
      path: at,
      found: `the role ${role}`,
      expected: "another name: the waveform beside it is reduced to this one",
      atKey: true,
    });
  }
  return found;
}

function segmenterFindings(segmenter: SegmenterSettings, kind: StationKind, path: SettingsPath): readonly Finding[] {
  const wanted = segmenter.by === "threshold" ? "reading" : "event";
  const fitting = [...rolesOf(kind)].filter(([, what]) => what === wanted).map(([role]) => role);
  const found: Finding[] = [];
  if (!fitting.includes(segmenter.role)) {
    found.push({
      path: [...path, "role"],
      expected: `the role of ${wanted === "event" ? "an event" : "a reading"} series here: ${oneOf(fitting)}`,
    });
  }
  if (segmenter.by === "threshold" && segmenter.closesBelow > segmenter.opensAbove) {
    found.push({ path: [...path, "closesBelow"], expected: `a number of at most opensAbove, ${segmenter.opensAbove}` });
  }
  if (segmenter.by === "state-signal") {
    if (segmenter.states[segmenter.opensAt] === undefined) {
      found.push({ path: [...path, "opensAt"], expected: oneOf(Object.keys(segmenter.states)) });
    }
    if (segmenter.closesAt === segmenter.opensAt)
      found.push({ path: [...path, "closesAt"], expected: "another state than opensAt" });
    else if (segmenter.states[segmenter.closesAt] !== undefined) {
      found.push({
        path: [...path, "closesAt"],
        expected: "a state that is not among the named ones: it is not part of the run",
      });
    }
    const names = Object.entries(segmenter.states);
    for (const [number, name] of names) {
      if (names.some(([other, same]) => same === name && Number(other) < Number(number))) {
        found.push({ path: [...path, "states", number], expected: "a name that no other state has" });
      }
    }
  }
  return found;
}

function characteristicFindings(
  one: CharacteristicSettings,
  index: number,
  kind: StationKind,
  path: SettingsPath,
): readonly Finding[] {
  const found: Finding[] = [...checkPolicies(one, path)];
  if (kind.characteristics.findIndex((other) => other.feature === one.feature) < index) {
    found.push({ path: [...path, "feature"], expected: "each feature once in a station kind" });
  }
  if (Object.keys(one.parts).length > 0 && !one.byPart) {
    found.push({ path: [...path, "byPart"], expected: "true, where parts are named" });
  }
  const factory = Object.hasOwn(featureCatalogue, one.feature) ? featureCatalogue[one.feature] : undefined;
  if (factory === undefined) {
    return [...found, { path: [...path, "feature"], expected: oneOf(Object.keys(featureCatalogue)) }];
  }
  const made = extractor(factory, one.settings);
  if (typeof made === "string") return [...found, { path: [...path, "settings"], expected: made }];
  return [...found, ...roleFindings(made, kind, path), ...unitFindings(one, made.unit, path)];
}

function extractor(
  factory: (settings: Readonly<Record<string, number>>) => FeatureExtractor,
  settings: Readonly<Record<string, number>>,
): FeatureExtractor | string {
  try {
    return factory(settings);
  } catch (error) {
    if (error instanceof RangeError) return error.message;
    throw error;
  }
}

function roleFindings(feature: FeatureExtractor, kind: StationKind, path: SettingsPath): readonly Finding[] {
  const roles = rolesOf(kind);
  const missing = feature.roles.filter((role) => !roles.has(role));
  if (missing.length === 0) return [];
  return [
    {
      path: [...path, "feature"],
      found: `${feature.id}, which reads ${feature.roles.join(", ")}`,
      expected: `series for ${missing.join(", ")} in this station kind`,
    },
  ];
}

function unitFindings(one: CharacteristicSettings, unit: string, path: SettingsPath): readonly Finding[] {
  const specifications = [
    [[...path, "specification"], one.specification] as const,
    ...Object.entries(one.parts).map(
      ([part, of]) => [[...path, "parts", part, "specification"], of.specification] as const,
    ),
  ];
  return specifications.flatMap(([at, specification]) =>
    specification === undefined || specification.unit === unit
      ? []
      : [{ path: [...at, "unit"], expected: `${unit}, the unit of ${one.feature}` }],
  );
}

function mainFindings(kind: StationKind, path: SettingsPath): readonly Finding[] {
  const mains = kind.characteristics.flatMap((one, index) => (one.main ? [index] : []));
  if (mains.length === 1) return [];
  if (mains.length === 0)
    return [
      {
        path: [...path, "characteristics"],
        found: "no characteristic with main: true",
        expected: "exactly one: it stands on the station's strip",
      },
    ];
  return mains.slice(1).map((index) => ({
    path: [...path, "characteristics", index, "main"],
    found: "a second main: true",
    expected: "exactly one in a station kind",
  }));
}
