import type { Characteristic } from "../../spc/model/characteristic.ts";
import type { JournalEntry } from "../../spc/model/journal-entry.ts";
import { chartedValue, chartOf } from "../../spc/model/plotted-as.ts";
import type { RoleSample, Run, RunInside, RunTrace } from "../../spc/model/run.ts";
import { settingOf } from "../../spc/model/run.ts";
import { characteristicMonitor, type MonitorInput } from "../../spc/monitor/characteristic-monitor.ts";
import type { SaidAt } from "../../spc/segment/set-ups.ts";
import type { Station } from "../platform/settings/site.ts";
import { appliedEntry, PAST_MS, pointEntry, runEntry, signalEntry } from "../store/entries.ts";
import type { DecisionBook } from "./decision-book.ts";
import type { InstrumentBook } from "./instrument-book.ts";
import { instrumentFold, type ToldOf } from "./instrument-fold.ts";
import type { LentInstruments } from "./lent-instruments.ts";
import { featureOf, insideOf, plannedFeatures } from "./planned-features.ts";
import type { TraceRoles } from "./read-trace.ts";
import { stationCut } from "./station-cut.ts";
import type { CharacteristicState, StationState } from "./station-state.ts";

/** What the fold asks of the world; everything else follows from samples and decisions. */
export interface FoldWorld {
  /** Samples of a closed run by role, late ones left out. */
  trace(run: Run, roles: TraceRoles): RunTrace;
  /** The same as its instruments read it, in the units of their series. */
  raw(run: Run, roles: readonly string[]): RunTrace;
  readonly decisions: DecisionBook;
  readonly instruments: InstrumentBook;
  readonly lent: LentInstruments;
  /** What people say is set up. */
  readonly said: SaidAt;
  /** Our clock: only noted beside what is found, and never decides it. */
  readonly foundMs: number;
  /** A decision that cannot take effect, because it does not fit the settings. */
  refused(entry: string, why: string): void;
}

export interface FoldResult {
  readonly state: StationState;
  readonly entries: readonly JournalEntry[];
  /** Of the first kind. */
  readonly closed: readonly Run[];
}

/** One station from samples to signals. Same samples and decisions, same runs, points, signals and flags. */
export interface StationFold {
  readonly initial: StationState;
  step(state: StationState, samples: readonly RoleSample[], world: FoldWorld): FoldResult;
}

export function stationFold(station: Station): StationFold {
  const cut = stationCut(station);
  const cutPlans = station.plans.filter(({ byHand }) => byHand === null);
  const holdsRuns = station.moreRuns.some(({ segmentsBy }) => segmentsBy !== null);
  const kinds = plannedFeatures(station);
  const instruments = instrumentFold(station);
  const monitors = new Map<string, ReturnType<typeof characteristicMonitor>>();
  const monitorOf = (one: Characteristic): ReturnType<typeof characteristicMonitor> => {
    const made = monitors.get(one.id) ?? characteristicMonitor(one);
    monitors.set(one.id, made);
    return made;
  };
  const declared = cutPlans.flatMap((plan) =>
    plan.by.length > 0 ? plan.parts.map((part) => plan.characteristic(part)) : [plan.characteristic(null)],
  );

  return {
    initial: {
      cursorMs: null,
      ...cut.initial,
      characteristics: {},
    },
    step: (before, samples, world) => {
      const entries: JournalEntry[] = [];
      const closed: Run[] = [];
      let inside = before.inside ?? [];
      const characteristics: Record<string, CharacteristicState> = { ...before.characteristics };
      const health = instruments.begin(before.instruments);

      const told: ToldOf = ({ kind, ...news }) => {
        const { foundMs } = world;
        const late = foundMs - news.atMs > PAST_MS;
        entries.push(world.instruments.entry({ ...news, station: station.id, state: kind, foundMs, late }));
      };

      const stateOf = (one: Characteristic): CharacteristicState =>
        characteristics[one.id] ?? { monitor: monitorOf(one).initial, lastRun: null, applied: 0 };

      const feed = (one: Characteristic, input: MonitorInput): void => {
        const state = stateOf(one);
        const next = monitorOf(one).step(state.monitor, input);
        characteristics[one.id] = { ...state, monitor: next.state };
        for (const out of next.out) {
          entries.push(
            out.kind === "point" ? pointEntry(station.id, out.point) : signalEntry(out.signal, world.foundMs),
          );
        }
      };

      const decide = (one: Characteristic): void => {
        for (;;) {
          const { applied, lastRun } = stateOf(one);
          const due = world.decisions.next(one.id, { applied, afterRun: lastRun });
          if (due === undefined) return;
          takeIn(one, due.entry);
          characteristics[one.id] = { ...stateOf(one), applied: applied + 1 };
          if (due.recorded) continue;
          const place = { entry: due.entry.id, characteristic: one.id, afterRun: lastRun };
          world.decisions.place(place);
          entries.push(appliedEntry(station.id, place, world.foundMs));
        }
      };

      const takeIn = (one: Characteristic, entry: Parameters<typeof inputOf>[0]): void => {
        try {
          feed(one, inputOf(entry));
        } catch (error) {
          // Limits may come from another process, or from before a change of settings: they must not stop the line.
          if (!(error instanceof RangeError) || entry.kind !== "limits") throw error;
          world.refused(entry.id, error.message);
        }
      };

      const close = (cutRun: Run): void => {
        const inner = cutRun.kind === undefined ? null : insideOf(cutRun, inside);
        const run = inner === null ? cutRun : { ...cutRun, context: { ...alikeOf(inner), ...cutRun.context } };
        // First who measured: what an instrument at fault read is no number of the process.
        if (inner === null) instruments.close(health, world.raw(run, instruments.roles), told);
        const { plans: own, reads } = kinds.get(run.kind ?? null)!;
        const trace = { ...world.trace(run, reads), ...(inner === null ? {} : { inside: inner }) };
        const features = own.map(({ extractor }) => {
          const { roles } = extractor;
          return world.lent.vouched(run, roles, instruments.vouched(health, run, roles, featureOf(extractor, trace)));
        });
        entries.push(runEntry({ run, imported: false, features }));
        if (run.kind === undefined) {
          closed.push(run);
          if (holdsRuns) inside = [...inside, { run, features }].slice(-MOST_INSIDE);
        }
        for (const [index, { plan }] of own.entries()) {
          const one = plan.characteristic(chartOf(run, plan.by));
          const { value, refusal } = chartedValue({ run, imported: false, features: [features[index]!] }, one)!;
          decide(one);
          feed(one, {
            kind: "point",
            run: run.id,
            atMs: run.endMs,
            value,
            setting: settingOf(run, one),
            ...(refusal === undefined ? {} : { refusal }),
          });
          characteristics[one.id] = { ...stateOf(one), lastRun: run.id };
          decide(one);
        }
      };

      /** Each reading is looked at before it is cut, so that a run that it ends knows of it. */
      const look = (sample: RoleSample): void => instruments.read(health, sample, told);

      for (const one of declared) decide(one);
      const state = cut.advance(before, samples, close, world.said, look);
      inside = stillInside(inside, state);
      const kept = inside.length === 0 ? {} : { inside };
      return {
        state: { cursorMs: before.cursorMs, ...state, ...kept, characteristics, instruments: health },
        entries,
        closed,
      };
    },
  };
}

/** Most runs inside one that are remembered. */
const MOST_INSIDE = 100;

/** What all runs inside say alike is so of the run around them as well: a ladle's part, its heat. */
function alikeOf(inside: readonly RunInside[]): Run["context"] {
  const [first, ...rest] = inside.map(({ run }) => Object.entries(run.context));
  const shared = first?.filter(([key, word]) => rest.every((one) => one.some(([k, w]) => k === key && w === word)));
  return Object.fromEntries(shared ?? []);
}

/** Without those that no open run can hold any more. */
function stillInside(inside: readonly RunInside[], { open = [] }: Pick<StationState, "open">): readonly RunInside[] {
  const starts = open.flatMap(({ kind, startMs }) => (kind === null ? [] : [startMs]));
  return starts.length === 0 ? [] : inside.filter(({ run }) => run.startMs >= Math.min(...starts));
}

function inputOf(entry: NonNullable<ReturnType<DecisionBook["next"]>>["entry"]): MonitorInput {
  return entry.kind === "limits" ? { kind: "limits", set: entry.body } : { kind: "done", flag: entry.body.flag };
}
