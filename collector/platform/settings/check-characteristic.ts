import { type FeatureFactory, featureCatalogue } from "../../../spc/features/catalogue.ts";
import type { FeatureExtractor } from "../../../spc/model/run.ts";
import { chartedBy, chartedUnit } from "./charted-by.ts";
import { checkChart } from "./check-chart.ts";
import { checkPolicies } from "./check-policies.ts";
import { rolesOf } from "./check-series.ts";
import { missingSegment } from "./missing-segment.ts";
import type { Finding, SettingsPath } from "./mistake.ts";
import type { StationKind } from "./schema.ts";
import { oneOf } from "./schema-words.ts";

type CharacteristicSettings = StationKind["characteristics"][number];
/** One kind of run at a station, and what is charted of it. */
type Runs = Pick<StationKind, "segmenter" | "characteristics">;

/** Whether the characteristics of one kind of run can be had from the station kind's series and the run's segments. */
export function checkCharacteristics(kind: StationKind, runs: Runs, path: SettingsPath): readonly Finding[] {
  return runs.characteristics.flatMap((one, index) => [
    ...repeatFindings(kind, one, [...path, index]),
    ...partFindings(one, [...path, index]),
    ...targetFindings(one, [...path, index]),
    ...featureFindings(one, kind, runs, [...path, index]),
    ...checkChart(one, [...path, index]),
    ...checkPolicies(one, [...path, index]),
  ]);
}

function repeatFindings(kind: StationKind, one: CharacteristicSettings, path: SettingsPath): readonly Finding[] {
  const all = [kind, ...kind.moreRuns].flatMap(({ characteristics }) => characteristics);
  if (all.find(({ feature }) => feature === one.feature) === one) return [];
  return [{ path: [...path, "feature"], expected: "each feature once in a station kind" }];
}

function partFindings(one: CharacteristicSettings, path: SettingsPath): readonly Finding[] {
  const { parts, byPart, by, as } = one;
  if (byPart && by !== undefined) {
    return [
      { path: [...path, "by"], found: "by beside byPart: true", expected: "one of them: byPart says by: [part]" },
    ];
  }
  const keys = chartedBy(one);
  const again = keys.findIndex((key, index) => keys.indexOf(key) < index);
  if (again > -1) return [{ path: [...path, "by", again], expected: "each word once" }];
  if (as !== "value" || keys.includes("part") || Object.keys(parts).length === 0) return [];
  return [{ path: [...path, "byPart"], expected: "true, where parts are named" }];
}

/** A chart of deviations needs what they are counted from, and one specification for all of them. */
function targetFindings({ as, parts }: CharacteristicSettings, path: SettingsPath): readonly Finding[] {
  const named = Object.entries(parts);
  if (as === "value") {
    return named.flatMap(([part, { target, sigma }]) => {
      const key = target !== undefined ? "target" : sigma !== undefined ? "sigma" : null;
      if (key === null) return [];
      return [{ path: [...path, "parts", part, key], expected: "nothing of the kind, or as: deviation", atKey: true }];
    });
  }
  if (named.length === 0) {
    return [{ path: [...path, "as"], found: `${as} without parts`, expected: "parts, each with its target" }];
  }
  return named.flatMap(([part, { specification, target, sigma }]): readonly Finding[] => {
    const at = [...path, "parts", part];
    if (specification !== undefined) {
      const expected = "no specification of one part: that of the deviation stands beside parts, for all of them";
      return [{ path: [...at, "specification"], expected, atKey: true }];
    }
    if (target === undefined) return [{ path: at, found: `${part} without a target`, expected: "target: a number" }];
    if (as === "z" && sigma === undefined) {
      return [{ path: at, found: `${part} without a sigma`, expected: "sigma: a number above 0" }];
    }
    return [];
  });
}

function featureFindings(
  one: CharacteristicSettings,
  kind: StationKind,
  runs: Runs,
  path: SettingsPath,
): readonly Finding[] {
  if (one.byHand !== undefined) return byHandFindings(one, one.byHand.unit, path);
  const factory = Object.hasOwn(featureCatalogue, one.feature) ? featureCatalogue[one.feature] : undefined;
  if (factory === undefined) return [{ path: [...path, "feature"], expected: oneOf(Object.keys(featureCatalogue)) }];
  const made = extractorOf(factory, one.settings);
  if (typeof made === "string") return [{ path: [...path, "settings"], expected: made }];
  const unit = chartedUnit(one, made.unit);
  return [...sourceFindings(made, kind, runs, [...path, "feature"]), ...unitFindings(one, unit, path)];
}

function byHandFindings(one: CharacteristicSettings, unit: string, path: SettingsPath): readonly Finding[] {
  const findings: Finding[] = [...unitFindings(one, chartedUnit(one, unit), path)];
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

function sourceFindings(
  feature: FeatureExtractor,
  kind: StationKind,
  runs: Runs,
  path: SettingsPath,
): readonly Finding[] {
  const roles = rolesOf(kind);
  const missing = feature.roles.filter((role) => !roles.has(role) && !kind.borrows.includes(role));
  if (missing.length > 0) {
    const found = `${feature.id}, which reads ${feature.roles.join(", ")}`;
    return [{ path, found, expected: `series for ${missing.join(", ")} in this station kind, or borrowed` }];
  }
  const segment = missingSegment(feature, segmentsOf(kind, runs));
  if (segment === null) return [];
  return [{ path, found: `${feature.id}, but ${segment}`, expected: "a state of that name in the segmenter" }];
}

/** Names that the segments of such runs may have. */
function segmentsOf(kind: StationKind, runs: Runs): readonly string[] {
  const { segmenter } = runs;
  if (segmenter.by === "state-signal") return Object.values(segmenter.states);
  if (segmenter.by === "sequence") return segmenter.steps.flatMap(({ name }) => name ?? []);
  // Those of the runs inside are numbered by what the runs themselves tell.
  const bySomething = kind.moreRuns.some((one) => one === runs && one.segmentsBy !== undefined);
  return bySomething ? Array.from({ length: 12 }, (_, i) => `${kind.runWord}-${i + 1}`) : [];
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

/** Which one stands on the strip of a station of this kind: one of the first kind of run. */
export function checkMain({ characteristics, moreRuns }: StationKind, path: SettingsPath): readonly Finding[] {
  const elsewhere = moreRuns.flatMap((runs, at) =>
    runs.characteristics.flatMap((one, index) => (one.main ? [[at, index] as const] : [])),
  );
  const first = elsewhere[0];
  if (first !== undefined) {
    const at = [...path.slice(0, -1), "moreRuns", first[0], "characteristics", first[1], "main"];
    return [{ path: at, expected: "none here: what stands on the strip is of the first kind of run" }];
  }
  const mains = characteristics.flatMap((one, index) => (one.main ? [index] : []));
  if (characteristics.length === 0) return [];
  const expected = "exactly one in a station kind: it stands on the station's strip";
  if (mains.length === 0) return [{ path, found: "no characteristic with main: true", expected }];
  return mains.slice(1).map((index) => ({ path: [...path, index, "main"], found: "a second main: true", expected }));
}
