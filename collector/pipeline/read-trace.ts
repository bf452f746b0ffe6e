import type { Run, RunTrace } from "../../spc/model/run.ts";
import type { Sample } from "../../spc/model/sample.ts";
import { convert } from "../../spc/units/ucum.ts";
import type { SiteSeries, Station } from "../platform/settings/site.ts";
import type { SampleStore } from "../store/sample-store.ts";
import { ofRole, seriesOfRole, spacingInRun } from "./role-series.ts";

/** Units that the features reckon in, by the quantity of a series; other quantities come in a unit below too. */
const reckonedIn = ["bar", "Cel", "%", "[g]", "s", "g/kg"] as const;

/** What the features of a run ask for. */
export interface TraceRoles {
  readonly roles: readonly string[];
  /** How far before the run each of these is to be read as well. */
  readonly lookBackMs?: Readonly<Record<string, number>>;
  /** Units asked for by role, where they are not the usual ones. */
  readonly roleUnits?: Readonly<Record<string, string>>;
}

/** Reads what a closed run left behind, by role, in the units and the reference that the features reckon in. */
export function readTrace(
  store: SampleStore,
  station: Station,
  ambientPressureHpa: number,
  run: Run,
  { roles, lookBackMs = {}, roleUnits = {} }: TraceRoles,
): RunTrace {
  const samples: Record<string, readonly Sample[]> = {};
  const everyMs: Record<string, number> = {};
  const read = (role: string, fromMs: number, toMs: number): readonly Sample[] => {
    const stored = store.read({ series: ofRole(station, role, run.context).series, fromMs, toMs });
    const reckon = reckoning(seriesOfRole(station, role, run.context), ambientPressureHpa, roleUnits[role]);
    return reckon === null ? stored : stored.map((one) => ({ ...one, value: reckon(one.value) }));
  };
  for (const role of roles) {
    samples[role] = read(role, run.startMs, run.endMs);
    const spacing = spacingInRun(station, role, run.context);
    if (spacing !== null) everyMs[role] = spacing;
  }
  const earlier = Object.entries(lookBackMs).map(([role, backMs]) => [
    role,
    read(role, run.startMs - backMs, run.startMs),
  ]);
  const before = earlier.length === 0 ? {} : { before: Object.fromEntries(earlier) as RunTrace["before"] & {} };
  return { run, samples, everyMs, ambientPressureHpa, ...before };
}

/** Reads a closed run as its instruments read it. */
export function readRaw(
  store: SampleStore,
  station: Station,
  ambientPressureHpa: number,
  run: Run,
  roles: readonly string[],
): RunTrace {
  const samples: Record<string, readonly Sample[]> = {};
  const everyMs: Record<string, number> = {};
  for (const role of roles) {
    samples[role] = store.read({ series: ofRole(station, role).series, fromMs: run.startMs, toMs: run.endMs });
    const spacing = spacingInRun(station, role);
    if (spacing !== null) everyMs[role] = spacing;
  }
  return { run, samples, everyMs, ambientPressureHpa };
}

/** How a series' values become what features expect; null where they are that already. */
function reckoning(
  series: SiteSeries | undefined,
  ambientHpa: number,
  unitAsked: string | undefined,
): ((value: number | null) => number | null) | null {
  if (series === undefined || series.kind === "event") return null;
  const { unit, reference, quantity } = series;
  const target = unitAsked ?? reckonedIn.find((one) => convert(1, unit, one) !== undefined) ?? unit;
  const aboveAmbient = quantity === "steam-pressure" && reference === "absolute" ? ambientHpa / 1000 : 0;
  if (target === unit && aboveAmbient === 0) return null;
  return (value) => {
    const converted = value === null ? undefined : convert(value, unit, target);
    return converted === undefined ? null : converted - aboveAmbient;
  };
}
