import { type InstrumentWatch, instrumentRefusal, instrumentWatch } from "../../spc/health/instrument.ts";
import type { InstrumentEvent, InstrumentState } from "../../spc/health/instrument-state.ts";
import type { FeatureValue, InstrumentNews } from "../../spc/model/journal-entry.ts";
import type { RoleSample, Run, RunTrace } from "../../spc/model/run.ts";
import type { SiteSeries, Station } from "../platform/settings/site.ts";

/** Where a station's instruments stand, by role. Plain JSON. */
export type InstrumentStates = Readonly<Record<string, InstrumentState>>;

/** Takes what an instrument is found to have. */
export type ToldOf = (news: Pick<InstrumentNews, "series" | "role"> & InstrumentEvent) => void;

/** A station's instruments: looked at with each reading and each run, before any number is made of what they read. */
export interface InstrumentFold {
  /** From what a checkpoint holds, a working copy that the other calls change. */
  begin(states: InstrumentStates | undefined): Record<string, InstrumentState>;
  read(states: Record<string, InstrumentState>, sample: RoleSample, told: ToldOf): void;
  /** Roles that `close` needs of a run. */
  readonly roles: readonly string[];
  close(states: Record<string, InstrumentState>, trace: RunTrace, told: ToldOf): void;
  /** The feature as it stands, or refused where an instrument that it reads was at fault in that run. */
  vouched(states: InstrumentStates, run: Run, roles: readonly string[], feature: FeatureValue): FeatureValue;
}

interface Watched {
  readonly series: SiteSeries;
  readonly watch: InstrumentWatch;
}

export function instrumentFold(station: Station): InstrumentFold {
  /** By the role under which its readings come: of a waveform the level speaks for all that it is reduced to. */
  const watched = new Map<string, Watched>();
  for (const series of Object.values(station.series)) {
    if (series.asked === null) continue;
    const role = series.kind === "waveform" ? `${series.role}.rms` : series.role;
    watched.set(role, { series, watch: instrumentWatch(role, series.asked) });
  }
  const roles = [...new Set([...watched].flatMap(([role, { watch }]) => [role, ...watch.roles]))];
  const behind = (role: string): string | undefined => {
    if (watched.has(role)) return role;
    const level = `${role.slice(0, Math.max(role.lastIndexOf("."), 0))}.rms`;
    return watched.has(level) ? level : undefined;
  };
  const take = (
    states: Record<string, InstrumentState>,
    role: string,
    series: SiteSeries,
    next: { readonly state: InstrumentState; readonly out: readonly InstrumentEvent[] },
    told: ToldOf,
  ): void => {
    states[role] = next.state;
    for (const event of next.out) told({ ...event, series: series.id, role: series.role });
  };

  return {
    roles,
    begin: (states) => ({ ...states }),
    read: (states, sample, told) => {
      const one = watched.get(sample.role);
      if (one === undefined) return;
      const { readings } = one.watch;
      take(states, sample.role, one.series, readings.step(states[sample.role] ?? readings.initial, sample), told);
    },
    close: (states, trace, told) => {
      for (const [role, { series, watch }] of watched) {
        take(states, role, series, watch.run(states[role] ?? watch.readings.initial, trace), told);
      }
    },
    vouched: (states, run, read, feature) => {
      for (const role of read) {
        const level = behind(role);
        const state = level === undefined ? undefined : states[level];
        const refusal = state && instrumentRefusal(state, role, run, feature.value === null);
        if (refusal !== undefined) return { ...feature, value: null, refusal };
      }
      return feature;
    },
  };
}
