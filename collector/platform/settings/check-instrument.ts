import { rolesOf } from "./check-series.ts";
import type { Finding, SettingsPath } from "./mistake.ts";
import type { StationKind } from "./schema.ts";
import { oneOf } from "./schema-words.ts";

type SeriesSettings = StationKind["series"][string];

/** Whether what is said of an instrument fits it and points at roles and segments that are there. */
export function checkInstruments(kind: StationKind, path: SettingsPath): readonly Finding[] {
  return Object.entries(kind.series).flatMap(([role, series]) => {
    const at = [...path, role, "instrument"];
    if (series.instrument === undefined) return [];
    if (series.kind === "event") return [{ path: at, expected: "no instrument: an event is nobody's measurement" }];
    return [...pointFindings(role, series, kind, at), ...numberFindings(series, at), ...ownFindings(series, at)];
  });
}

function pointFindings(role: string, series: SeriesSettings, kind: StationKind, at: SettingsPath): readonly Finding[] {
  const { zero, peers, slow, least } = series.instrument!;
  const named = [
    ...(zero?.against === undefined ? [] : [[[...at, "zero", "against"], zero.against] as const]),
    ...(least === undefined ? [] : [[[...at, "least", "at"], least.at] as const]),
    ...(peers?.roles ?? []).map((one, i) => [[...at, "peers", "roles", i], one] as const),
    ...(slow?.witness === undefined ? [] : [[[...at, "slow", "witness", "role"], slow.witness.role] as const]),
    ...(slow?.toAt === undefined ? [] : [[[...at, "slow", "toAt"], slow.toAt] as const]),
    ...(slow?.witness?.toAt === undefined ? [] : [[[...at, "slow", "witness", "toAt"], slow.witness.toAt] as const]),
  ];
  const roles = rolesOf(kind);
  const there = kind.segmenter.by === "state-signal" ? Object.values(kind.segmenter.states) : [];
  const floor = least === undefined ? undefined : kind.series[least.at];
  return [
    ...(floor === undefined || floor.unit === series.unit
      ? []
      : [{ path: [...at, "least", "at"], expected: `a reading in ${series.unit}` }]),
    ...named.flatMap(([path, name]): Finding[] => {
      if (name !== role && roles.get(name) === "reading") return [];
      return [{ path, expected: "another reading of this station kind" }];
    }),
    ...(["zero", "slow"] as const).flatMap((key): Finding[] => {
      const segment = series.instrument![key]?.segment;
      if (segment === undefined || there.includes(segment)) return [];
      return [{ path: [...at, key, "segment"], expected: oneOf(there) }];
    }),
  ];
}

function numberFindings(series: SeriesSettings, at: SettingsPath): readonly Finding[] {
  const { thermocouple, resistance, error, errorShare, noise, spread, slow, zero } = series.instrument!;
  const found: Finding[] = [];
  const levels = [
    [["slow"], slow],
    [["slow", "witness"], slow?.witness],
  ] as const;
  for (const [place, level] of levels) {
    if (level === undefined || (level.to === undefined) !== (level.toAt === undefined)) continue;
    found.push({ path: [...at, ...place], expected: "to, a number, or toAt, a role that reads it: one of the two" });
  }
  if (zero?.of !== undefined && series.kind !== "waveform") {
    found.push({
      path: [...at, "zero", "of"],
      expected: "no such key: only a waveform is reduced to several measures",
    });
  }
  if ([thermocouple, resistance, error, errorShare].filter((one) => one !== undefined).length > 1) {
    found.push({
      path: at,
      found: "its error in several ways",
      expected: "one of thermocouple, resistance, error, errorShare",
    });
  }
  if (noise !== undefined && spread !== undefined) {
    const expected = "noise of readings that follow each other, or spread of what is taken by hand, not both";
    found.push({ path: [...at, "spread"], expected });
  }
  return found;
}

function ownFindings(series: SeriesSettings, at: SettingsPath): readonly Finding[] {
  const { thermocouple, resistance, terminals } = series.instrument!;
  const thermal = thermocouple !== undefined || resistance !== undefined || terminals !== undefined;
  if (!thermal || ["Cel", "K", "[degF]"].includes(series.unit)) return [];
  return [{ path: at, found: `a thermometer in ${series.unit}`, expected: "a series in Cel, K or [degF]" }];
}
