import type { SiteSeries, Station } from "../../collector/platform/settings/site.ts";
import { instrumentsOf } from "../../collector/start.ts";
import { featureCatalogue } from "../../spc/features/catalogue.ts";
import type { FlagState } from "../../spc/flags/flag.ts";
import type { InstrumentState, Look } from "../../spc/health/instrument-state.ts";
import type { WireInstrument, WireInstrumentList } from "../contract/instrument-wire.ts";
import type { ApiParts } from "../parts.ts";
import { shareOf } from "./instrument-error.ts";
import { instant } from "./wire-form.ts";

type Check = WireInstrument["checks"][number];

/** Worst first. */
const states: readonly WireInstrument["state"][] = ["fault", "silent", "undecided", "due", "well", "never"];
/** As the Floor counts silence: so many spacings, and never less than what messages take. */
const silentSpacings = 3;
const leastSilentMs = 5_000;

/** Every instrument of the site, the worst first; of equal ones in the order of the settings. */
export function instrumentList(parts: ApiParts, nowMs: number): WireInstrumentList {
  const flags = openFlags(parts.model.book.states());
  const catchingUp = new Set(
    parts.process.freshness().flatMap(({ state, station }) => (state === "catching-up" ? [station] : [])),
  );
  const items = parts.site.stations.flatMap((station) => {
    const known = instrumentsOf(parts.journal, station.id);
    return Object.values(station.series)
      .filter(({ kind }) => kind !== "event")
      .map((series) => {
        const role = series.kind === "waveform" ? `${series.role}.rms` : series.role;
        return itemOf(parts, station, series, {
          ...{ state: known[role], flag: flags.get(series.id), nowMs },
          catchingUp: catchingUp.has(station.id),
        });
      });
  });
  return { now: instant(nowMs), items: items.toSorted((a, b) => states.indexOf(a.state) - states.indexOf(b.state)) };
}

interface Known {
  readonly state: InstrumentState | undefined;
  readonly flag: FlagState | undefined;
  readonly nowMs: number;
  readonly catchingUp: boolean;
}

function itemOf(parts: ApiParts, station: Station, series: SiteSeries, known: Known): WireInstrument {
  const { state, flag, nowMs } = known;
  const newest = parts.samples.latest(series.kind === "waveform" ? `${series.id}.rms` : series.id);
  const calibration = calibrationOf(series, nowMs);
  const on = Object.entries(state?.on ?? {}).map(([check, { sinceMs: atMs, ...rest }]) =>
    wireCheck(check, { ...rest, atMs }),
  );
  const looks = Object.entries(state?.looks ?? {}) as [string, Look][];
  const undecided = looks
    .filter(([check, { verdict }]) => verdict === "undecided" && !on.some((one) => one.check === check))
    .map(([check, look]) => wireCheck(check, look));
  const silent =
    series.everyMs !== null &&
    newest !== undefined &&
    !known.catchingUp &&
    nowMs - newest.tMs > Math.max(silentSpacings * series.everyMs, leastSilentMs);
  const { id, role, source, quantity, reference, unit, everyMs } = series;
  return {
    ...{ series: id, station: station.id, role, source, stage: station.stage, quantity, reference, unit, everyMs },
    digits: digitsOf(series.resolution),
    is: series.instrument?.is ?? null,
    state: stateOf({
      newest: newest !== undefined,
      fault: on.length > 0,
      silent,
      undecided: undecided.length > 0,
      calibration,
    }),
    newest: newest === undefined ? null : { at: instant(newest.tMs), value: newest.value, quality: newest.quality },
    evidence: [...on, ...undecided],
    checks: looks.map(([check, look]) => wireCheck(check, look)),
    flag: flag === undefined || flag.state === "done" ? null : { id: flag.id, number: flag.number, state: flag.state },
    calibration,
    shares: sharesOf(station, series),
  };
}

function stateOf(of: {
  readonly newest: boolean;
  readonly fault: boolean;
  readonly silent: boolean;
  readonly undecided: boolean;
  readonly calibration: WireInstrument["calibration"];
}): WireInstrument["state"] {
  if (of.fault) return "fault";
  if (of.silent) return "silent";
  if (of.undecided) return "undecided";
  if (of.calibration?.overdue === true) return "due";
  return of.newest ? "well" : "never";
}

function wireCheck(check: string, { atMs, verdict, says }: Look): Check {
  return { check, verdict, says, at: instant(atMs) };
}

/** A calibration holds from its day on for as long as the settings say. */
function calibrationOf({ instrument }: SiteSeries, nowMs: number): WireInstrument["calibration"] {
  if (instrument === null) return null;
  const { calibrated: on, calibrateEveryMs } = instrument;
  if (calibrateEveryMs === null) return on === null ? null : { on, due: null, overdue: false };
  if (on === null) return { on, due: null, overdue: true };
  const dueMs = Date.parse(on) + calibrateEveryMs;
  return { on, due: instant(dueMs).slice(0, 10), overdue: nowMs >= dueMs };
}

function digitsOf(resolution: number | null): number {
  return resolution === null ? 3 : Math.min(6, Math.max(0, Math.ceil(-Math.log10(resolution) - 1e-9)));
}

/** Of each characteristic whose feature reads it: once a part where parts have specifications of their own. */
function sharesOf(station: Station, series: SiteSeries): WireInstrument["shares"] {
  const reads = (role: string): boolean => role === series.role || role.startsWith(`${series.role}.`);
  return station.plans.flatMap((plan) => {
    const feature = featureCatalogue[plan.feature]?.(plan.settings);
    if (feature === undefined || !feature.roles.some(reads)) return [];
    const places = plan.parts.length > 0 ? plan.parts : [null];
    return places.flatMap((part) => shareOf(series, plan.characteristic(part)) ?? []);
  });
}

/** By series, the open flag of an instrument: its fault before its silence. */
function openFlags(all: Iterable<FlagState>): ReadonlyMap<string, FlagState> {
  const open = new Map<string, FlagState>();
  for (const flag of all) {
    if (flag.state === "done") continue;
    for (const series of flag.series) if (!open.has(series) || flag.faultsOn !== undefined) open.set(series, flag);
  }
  return open;
}
