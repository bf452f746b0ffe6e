import { dimensionOf, unitsOfQuantity } from "../../../spc/units/ucum.ts";
import { reducedMeasures } from "../../../spc/vibration/reduce.ts";
import type { Finding, SettingsPath } from "./mistake.ts";
import type { StationKind } from "./schema.ts";

type SeriesSettings = StationKind["series"][string];

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

/** Whether each series of a station kind says what is needed to read, judge and miss it. */
export function checkSeries(kind: StationKind, path: SettingsPath): readonly Finding[] {
  return Object.entries(kind.series).flatMap(([role, series]) => {
    const at = [...path, role];
    const own = series.kind === "event" ? eventFindings(series, at) : readingFindings(series, at);
    return [...own, ...nameFindings(role, kind, at)];
  });
}

function eventFindings(series: SeriesSettings, at: SettingsPath): readonly Finding[] {
  const found: Finding[] = [];
  if (series.unit !== "1") found.push({ path: [...at, "unit"], expected: '"1": an event carries a number of no unit' });
  if (series.everyInRun !== undefined) {
    found.push({ path: [...at, "everyInRun"], expected: "no spacing in a run: events come when they come" });
  }
  return found;
}

function readingFindings(series: SeriesSettings, at: SettingsPath): readonly Finding[] {
  const { quantity, unit, reference, every, everyInRun } = series;
  const found: Finding[] = [];
  const fitting = Object.hasOwn(unitsOfQuantity, quantity) ? unitsOfQuantity[quantity] : undefined;
  if (fitting === undefined ? dimensionOf(unit) === undefined : !fitting.includes(unit)) {
    const codes = fitting?.join(", ") ?? "such as bar, Cel, %, s";
    found.push({ path: [...at, "unit"], expected: `a UCUM code for ${quantity}: ${codes}` });
  }
  if (quantity === "steam-pressure" && reference !== "gauge" && reference !== "absolute") {
    found.push({ path: [...at, "reference"], expected: "gauge or absolute: a pressure means nothing without it" });
  }
  if (every === undefined && everyInRun === undefined) {
    const expected = "one of them: silence and coverage are judged against it";
    found.push({ path: at, found: "neither every nor everyInRun", expected });
  }
  return found;
}

function nameFindings(role: string, kind: StationKind, at: SettingsPath): readonly Finding[] {
  const dot = role.lastIndexOf(".");
  const before = dot === -1 ? undefined : kind.series[role.slice(0, dot)];
  if (before?.kind !== "waveform" || !reducedMeasures.some((measure) => measure === role.slice(dot + 1))) return [];
  const expected = "another name: the waveform beside it is reduced to a series of this one";
  return [{ path: at, found: `the role ${role}`, expected, atKey: true }];
}
