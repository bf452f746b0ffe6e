import { chartPairOf } from "../charts/pair.ts";
import type { Characteristic } from "../model/characteristic.ts";
import { pointEveryMs, runsOfPoint } from "../model/characteristic.ts";
import type { PointRecord } from "../model/journal-entry.ts";
import type { LimitSet } from "../model/limit-set.ts";
import type { Refusal } from "../model/outcome.ts";
import type { Signal } from "../model/signal.ts";
import type { Stage } from "../model/stage.ts";
import type { RuleOn } from "../rules/rule.ts";
import { charted } from "./charted.ts";
import { checkedLimitSet } from "./checked-limit-set.ts";
import { asSignal, outsideSpecification } from "./finding.ts";
import { judgedSubgroup } from "./judged-subgroup.ts";
import type { MonitorState } from "./monitor-state.ts";
import { adopted, designOf } from "./monitor-state.ts";
import type { Gathered, Gathering, RunValue } from "./subgrouper.ts";
import { subgrouper } from "./subgrouper.ts";

/** What reaches a characteristic, in the order in which it takes effect. */
export type MonitorInput =
  | PointInput
  | { readonly kind: "limits"; readonly set: LimitSet }
  | { readonly kind: "done"; readonly flag: string };

interface PointInput {
  readonly kind: "point";
  readonly run: string;
  /** End of the run, source time. */
  readonly atMs: number;
  readonly value: number | null;
  readonly refusal?: Refusal;
  /** What was set up: part and tool. No subgroup reaches across a change. */
  readonly setting?: string;
}

export type MonitorOutput =
  | { readonly kind: "point"; readonly point: PointRecord }
  | { readonly kind: "signal"; readonly signal: Signal };

/** Runs after a done within which a flag counts as the same one come back. */
const CAME_BACK_RUNS = 20;

/**
 * All that watches one characteristic: its subgroups, the chart pair, its rules, the specification, and the flag that
 * gathers their signals. Same inputs, same outputs, wherever the stream is cut.
 */
export function characteristicMonitor(
  characteristic: Characteristic,
): Stage<MonitorState, MonitorInput, MonitorOutput> {
  const pair = chartPairOf(characteristic);
  const single = runsOfPoint(characteristic) === 1;
  const gather = subgrouper(runsOfPoint(characteristic), characteristic.everyMs);
  const chartsOf = chartsBySet(characteristic);
  const fresh = (set: LimitSet | null): Pick<MonitorState, "location" | "spread"> => {
    const { location, spread } = chartsOf(set);
    return { location: location.initial, spread: spread.initial };
  };

  /** Judges a subgroup that has ended, and gives its signals to the open flag or opens one. */
  const judge = (before: MonitorState, gathered: Gathered, late: readonly Signal[], out: MonitorOutput[]) => {
    const last = gathered.members.at(-1)!;
    const ruled = withLimitsAt(before, last.atMs, fresh);
    const state = single ? inSetting(ruled, last.setting, chartsOf) : ruled;
    const judged = judgedSubgroup(state, gathered, { characteristic, pair, charts: chartsOf(state.limits) });
    const flag = flagFor(state, characteristic, last.run);
    const signals = judged.findings.map((finding) => asSignal(finding, characteristic, state.limits, last, flag));
    const all = [...late, ...signals];
    out.push({
      kind: "point",
      point: { ...judged.point, signals: [...(state.heard ?? []), ...all.map(({ id }) => id)] },
    });
    for (const signal of all) out.push({ kind: "signal", signal });
    const { heard: _, ...rest } = state;
    const { location, spread } = judged;
    return { ...rest, seen: state.seen + 1, location, spread, flag: signals.length > 0 ? flag.id : state.flag };
  };

  const takeRun = (state: MonitorState, run: RunValue, out: MonitorOutput[]): MonitorState => {
    const { state: members, out: ended } = gather.step(state.gathering ?? [], run);
    let next = state;
    for (const gathered of ended) if (!gathered.members.includes(run)) next = judge(next, gathered, [], out);
    next = oneRunLater(next);
    const flag = flagFor(next, characteristic, run.run);
    const late = outsideSpecification(run.value, characteristic.specification).map((finding) =>
      asSignal(finding, characteristic, null, run, flag),
    );
    if (late.length > 0) next = { ...next, flag: flag.id };
    const own = ended.find((gathered) => gathered.members.includes(run));
    if (own !== undefined) return withGathering(judge(next, own, late, out), members);
    // A run outside the specification is told at once, and not when its subgroup is full.
    for (const signal of late) out.push({ kind: "signal", signal });
    const heard = [...(next.heard ?? []), ...late.map(({ id }) => id)];
    return withGathering(heard.length > 0 ? { ...next, heard } : next, members);
  };

  return {
    initial: { design: designOf(characteristic), seen: 0, limits: null, next: [], ...fresh(null), flag: null },
    step(before, input) {
      const state = adopted(before, characteristic, fresh);
      const out: MonitorOutput[] = [];
      switch (input.kind) {
        case "point":
          return { state: takeRun(state, runValue(input), out), out };
        case "limits": {
          const set = checkedLimitSet(input.set, characteristic, pair);
          return { state: { ...state, next: [...state.next, set] }, out };
        }
        case "done": {
          if (state.flag !== input.flag) return { state, out };
          // A correction lies between what came before and what comes: no subgroup reaches across it.
          const members = state.gathering ?? [];
          const ended = members.length === 0 ? state : judge(state, { members, shortBy: "done" }, [], out);
          return { state: afterDone(withGathering(ended, []), input.flag, chartsOf, pair.anewAfterDone), out };
        }
      }
    },
  };
}

export interface Charts {
  readonly location: ReturnType<typeof charted>;
  readonly spread: ReturnType<typeof charted>;
}

/** Stages hold no state of their own, so the ones of the set in force are kept rather than made for every point. */
function chartsBySet(characteristic: Characteristic): (set: LimitSet | null) => Charts {
  const pair = chartPairOf(characteristic);
  const spacing = { everyMs: pointEveryMs(characteristic) };
  let kept: { readonly id: string | null; readonly charts: Charts } | null = null;
  return (set) => {
    const id = set?.id ?? null;
    if (kept === null || kept.id !== id) {
      const made = (on: RuleOn) => charted(pair, on, set, spacing);
      kept = { id, charts: { location: made("location"), spread: made("spread") } };
    }
    return kept.charts;
  };
}

/** Of the sets whose time has come the latest put in force rules, afresh, and those before it never do. */
function withLimitsAt(
  state: MonitorState,
  atMs: number,
  fresh: (set: LimitSet) => Pick<MonitorState, "location" | "spread">,
): MonitorState {
  const due = state.next.findLastIndex((set) => atMs >= set.effectiveFromMs);
  const limits = state.next[due];
  if (limits === undefined) return state;
  return { ...state, limits, next: state.next.slice(due + 1), ...fresh(limits) };
}

/** Another part or tool begins the moving range anew: how far two of them lie apart is no step of the process. */
function inSetting(state: MonitorState, setting: string, chartsOf: (set: LimitSet | null) => Charts): MonitorState {
  const known = state.setting;
  if (known === setting || (known === undefined && setting === "")) return state;
  if (known === undefined) return { ...state, setting };
  const { chart } = chartsOf(state.limits).spread.initial;
  return { ...state, setting, spread: { ...state.spread, chart } };
}

/**
 * A run rule needs new points after a person's done, and an EWMA, which weighs all points, begins anew at its centre.
 * The other charts' memory, and the limits, go on.
 */
function afterDone(
  state: MonitorState,
  flag: string,
  chartsOf: (set: LimitSet | null) => Charts,
  anew: boolean,
): MonitorState {
  const { location, spread } = chartsOf(state.limits);
  return {
    ...state,
    flag: null,
    closed: { flag, runs: 0 },
    location: { chart: anew ? location.initial.chart : state.location.chart, rules: location.initial.rules },
    spread: { ...state.spread, rules: spread.initial.rules },
  };
}

function oneRunLater(state: MonitorState): MonitorState {
  const { closed, ...rest } = state;
  if (closed === undefined) return state;
  return closed.runs < CAME_BACK_RUNS ? { ...rest, closed: { ...closed, runs: closed.runs + 1 } } : rest;
}

/** The open flag, or the one that a signal now would open: named after its first run, so that a replay opens the same. */
function flagFor(state: MonitorState, { id }: Characteristic, run: string) {
  if (state.flag !== null) return { id: state.flag, cameBackFrom: null };
  return { id: `${id}:${run.slice(run.lastIndexOf(":") + 1)}`, cameBackFrom: state.closed?.flag ?? null };
}

function withGathering(state: MonitorState, members: Gathering): MonitorState {
  if (members.length > 0) return { ...state, gathering: members };
  const { gathering: _, ...rest } = state;
  return rest;
}

function runValue({ run, atMs, value, refusal, setting }: PointInput): RunValue {
  const finite = value !== null && Number.isFinite(value) ? value : null;
  const why: Refusal | undefined =
    refusal ??
    (value !== null && finite === null
      ? { code: "not-a-number", detail: "the feature gave no finite number" }
      : undefined);
  return {
    run,
    atMs,
    value: finite,
    setting: setting ?? "",
    ...(finite !== null || why === undefined ? {} : { refusal: why }),
  };
}
