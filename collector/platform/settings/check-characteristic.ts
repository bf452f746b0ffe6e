import { type FeatureFactory, featureCatalogue } from "../../../spc/features/catalogue.ts";
import type { FeatureExtractor } from "../../../spc/model/run.ts";
import { checkChart } from "./check-chart.ts";
import { checkPolicies } from "./check-policies.ts";
import { rolesOf } from "./check-series.ts";
import { missingSegment } from "./missing-segment.ts";
import type { Finding, SettingsPath } from "./mistake.ts";
import type { StationKind } from "./schema.ts";
import { oneOf } from "./schema-words.ts";

type CharacteristicSettings = StationKind["characteristics"][number];

/** Whether the characteristics of a station kind can be had from its series and segments, and which one stands first. */
export function checkCharacteristics(kind: StationKind, path: SettingsPath): readonly Finding[] {
  return [
    ...kind.characteristics.flatMap((one, index) => [
      ...repeatFindings(kind, index, [...path, index]),
      ...partFindings(one, [...path, index]),
      ...featureFindings(one, kind, [...path, index]),
      ...checkChart(one, [...path, index]),
      ...checkPolicies(one, [...path, index]),
    ]),
    ...mainFindings(kind, path),
  ];
}

function repeatFindings({ characteristics }: StationKind, index: number, path: SettingsPath): readonly Finding[] {
  const { feature } = characteristics[index]!;
  if (characteristics.findIndex((other) => other.feature === feature) === index) return [];
  return [{ path: [...path, "feature"], expected: "each feature once in a station kind" }];
}

function partFindings({ parts, byPart }: CharacteristicSettings, path: SettingsPath): readonly Finding[] {
  if (byPart || Object.keys(parts).length === 0) return [];
  return [{ path: [...path, "byPart"], expected: "true, where parts are named" }];
}

function featureFindings(one: CharacteristicSettings, kind: StationKind, path: SettingsPath): readonly Finding[] {
  if (one.byHand !== undefined) return byHandFindings(one, one.byHand.unit, path);
  const factory = Object.hasOwn(featureCatalogue, one.feature) ? featureCatalogue[one.feature] : undefined;
  if (factory === undefined) return [{ path: [...path, "feature"], expected: oneOf(Object.keys(featureCatalogue)) }];
  const made = extractorOf(factory, one.settings);
  if (typeof made === "string") return [{ path: [...path, "settings"], expected: made }];
  return [...sourceFindings(made, kind, [...path, "feature"]), ...unitFindings(one, made.unit, path)];
}

function byHandFindings(one: CharacteristicSettings, unit: string, path: SettingsPath): readonly Finding[] {
  const findings: Finding[] = [...unitFindings(one, unit, path)];
  const known = Object.hasOwn(featureCatalogue, one.feature) ? featureCatalogue[one.feature] : undefined;
  if (known !== undefined && known({}).unit !== unit) {
    findings.push({ path: [...path, "byHand", "unit"], expected: `${known({}).unit}, the unit of ${one.feature}` });
  } else if (!/^[a-z][\w-]*(\.[\w-]+)+$/.test(one.feature)) {
    findings.push({ path: [...path, "feature"], expected: "words with a point between, such as bead.density" });
  }
  if (Object.keys(one.settings).length > 0) {
    findings.push({ path: [...path, "settings"], expected: "none: a value written down has no numbers of its own" });
  }
  return findings;
}

/** The feature, or why the numbers in the settings do not fit it. */
function extractorOf(factory: FeatureFactory, settings: Readonly<Record<string, number>>): FeatureExtractor | string {
  try {
    return factory(settings);
  } catch (error) {
    if (error instanceof RangeError) return `other numbers: ${error.message}`;
    throw error;
  }
}

function sourceFindings(feature: FeatureExtractor, kind: StationKind, path: SettingsPath): readonly Finding[] {
  const roles = rolesOf(kind);
  const missing = feature.roles.filter((role) => !roles.has(role));
  if (missing.length > 0) {
    const found = `${feature.id}, which reads ${feature.roles.join(", ")}`;
    return [{ path, found, expected: `series for ${missing.join(", ")} in this station kind` }];
  }
  const segments = kind.segmenter.by === "state-signal" ? Object.values(kind.segmenter.states) : [];
  const segment = missingSegment(feature, segments);
  if (segment === null) return [];
  return [{ path, found: `${feature.id}, but ${segment}`, expected: "a state of that name in the segmenter" }];
}

function unitFindings(one: CharacteristicSettings, unit: string, path: SettingsPath): readonly Finding[] {
  const places = [
    { at: [...path, "specification"], specification: one.specification },
    ...Object.entries(one.parts).map(([part, { specification }]) => ({
      at: [...path, "parts", part, "specification"],
      specification,
    })),
  ];
  return places
    .filter(({ specification }) => specification !== undefined && specification.unit !== unit)
    .map(({ at }) => ({ path: [...at, "unit"], expected: `${unit}, the unit of ${one.feature}` }));
}

function mainFindings({ characteristics }: StationKind, path: SettingsPath): readonly Finding[] {
  const mains = characteristics.flatMap((one, index) => (one.main ? [index] : []));
  if (characteristics.length === 0) return [];
  const expected = "exactly one in a station kind: it stands on the station's strip";
  if (mains.length === 0) return [{ path, found: "no characteristic with main: true", expected }];
  return mains.slice(1).map((index) => ({ path: [...path, index, "main"], found: "a second main: true", expected }));
}
