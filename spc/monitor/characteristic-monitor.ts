import { chartPairs } from "../charts/pair.ts";
import type { Characteristic } from "../model/characteristic.ts";
import type { PointRecord } from "../model/journal-entry.ts";
import type { LimitSet } from "../model/limit-set.ts";
import type { Refusal } from "../model/outcome.ts";
import type { Side, Signal } from "../model/signal.ts";
import type { Stage, Step } from "../model/stage.ts";
import type { RuleOn } from "../rules/rule.ts";
import type { Charted, ChartedState } from "./charted.ts";
import { charted } from "./charted.ts";
import { checkedLimitSet } from "./checked-limit-set.ts";
import type { Finding } from "./finding.ts";
import { asSignal, outsideSpecification } from "./finding.ts";

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
}

export type MonitorOutput =
  | { readonly kind: "point"; readonly point: PointRecord }
  | { readonly kind: "signal"; readonly signal: Signal };

/** Plain JSON, and small: checkpoints are made of it. */
export interface MonitorState {
  /** Streamed points so far. */
  readonly seen: number;
  readonly limits: LimitSet | null;
  /** Agreed, but their source time has not come; in the order in which they were put in force. */
  readonly next: readonly LimitSet[];
  readonly location: ChartedState;
  readonly spread: ChartedState;
  /** Flag that is open on the characteristic. */
  readonly flag: string | null;
}

/**
 * All that watches one characteristic: the chart pair, its rules, the specification, and the flag that gathers their
 * signals. Same inputs, same outputs, wherever the stream is cut.
 */
export function characteristicMonitor(
  characteristic: Characteristic,
): Stage<MonitorState, MonitorInput, MonitorOutput> {
  const pair = chartPairs[characteristic.chart];
  const chartsOf = chartsBySet(characteristic);
  const none = chartsOf(null);
  return {
    initial: {
      seen: 0,
      limits: null,
      next: [],
      location: none.location.initial,
      spread: none.spread.initial,
      flag: null,
    },
    step(state, input) {
      switch (input.kind) {
        case "point": {
          const ruled = withLimitsAt(state, input.atMs, chartsOf);
          return stepPoint(ruled, input, characteristic, chartsOf(ruled.limits));
        }
        case "limits": {
          const set = checkedLimitSet(input.set, characteristic, pair);
          return { state: { ...state, next: [...state.next, set] }, out: [] };
        }
        case "done":
          return { state: state.flag === input.flag ? afterDone(state, chartsOf(state.limits)) : state, out: [] };
      }
    },
  };
}

interface Charts {
  readonly location: ReturnType<typeof charted>;
  readonly spread: ReturnType<typeof charted>;
}

/** Stages hold no state of their own, so the ones of the set in force are kept rather than made for every point. */
function chartsBySet({ chart, everyMs }: Characteristic): (set: LimitSet | null) => Charts {
  let kept: { readonly id: string | null; readonly charts: Charts } | null = null;
  return (set) => {
    const id = set?.id ?? null;
    if (kept === null || kept.id !== id) {
      const made = (on: RuleOn) => charted(chartPairs[chart], on, set, { everyMs });
      kept = { id, charts: { location: made("location"), spread: made("spread") } };
    }
    return kept.charts;
  };
}

/** Of the sets whose time has come the latest put in force rules, afresh, and those before it never do. */
function withLimitsAt(state: MonitorState, atMs: number, chartsOf: (set: LimitSet) => Charts): MonitorState {
  const due = state.next.findLastIndex((set) => atMs >= set.effectiveFromMs);
  const limits = state.next[due];
  if (limits === undefined) return state;
  const { location, spread } = chartsOf(limits);
  const next = state.next.slice(due + 1);
  return { ...state, limits, next, location: location.initial, spread: spread.initial };
}

/** A run rule needs new points after a person's done; the charts' own memory, and the limits, go on. */
function afterDone(state: MonitorState, { location, spread }: Charts): MonitorState {
  return {
    ...state,
    flag: null,
    location: { ...state.location, rules: location.initial.rules },
    spread: { ...state.spread, rules: spread.initial.rules },
  };
}

function stepPoint(
  state: MonitorState,
  input: PointInput,
  characteristic: Characteristic,
  charts: Charts,
): Step<MonitorState, MonitorOutput> {
  const { run, atMs } = input;
  const value = input.value !== null && Number.isFinite(input.value) ? input.value : null;
  const place = { subgroup: state.seen, atMs, run, value };
  const location = charts.location.step(state.location, place);
  const spread = charts.spread.step(state.spread, place);
  const findings = [
    ...outsideSpecification(value, characteristic.specification),
    ...location.out.flatMap((found) => findingsOf("location", found)),
    ...spread.out.flatMap((found) => findingsOf("spread", found)),
  ];

  const flag = state.flag ?? flagId(characteristic.id, run);
  const signals = findings.map((finding) => asSignal(finding, characteristic, state.limits, input, flag));
  const refusal = refusalOf(input, value, state.limits);
  const point: PointRecord = {
    characteristic: characteristic.id,
    run,
    subgroup: state.seen,
    atMs,
    imported: false,
    limitSet: state.limits?.id ?? null,
    location: location.out[0]!.point,
    spread: spread.out[0]!.point,
    ...(refusal === null ? {} : { refusal }),
    signals: signals.map(({ id }) => id),
  };
  return {
    state: {
      ...state,
      seen: state.seen + 1,
      location: location.state,
      spread: spread.state,
      flag: signals.length > 0 ? flag : state.flag,
    },
    out: [{ kind: "point", point }, ...signals.map((signal) => ({ kind: "signal", signal }) as const)],
  };
}

function findingsOf(on: RuleOn, { point, hits }: Charted): readonly Finding[] {
  const { value } = point;
  if (value === null) return [];
  // A pattern that has no side is listed where its newest point lies.
  const here = (line: number): Side => (value < line ? "below" : "above");
  return hits.map((hit) => ({ ...hit, on, value, side: hit.side === "both" ? here(hit.line) : hit.side }));
}

/** A flag is named after its first run, so that a replay opens the same one. */
function flagId(characteristic: string, run: string): string {
  return `${characteristic}:${run.slice(run.lastIndexOf(":") + 1)}`;
}

function refusalOf(
  input: { readonly value: number | null; readonly refusal?: Refusal },
  value: number | null,
  limits: LimitSet | null,
): Refusal | null {
  if (value !== null) return limits === null ? { code: "no-limits", detail: "no limits are in force yet" } : null;
  if (input.refusal !== undefined) return input.refusal;
  if (input.value !== null) return { code: "not-a-number", detail: "the feature gave no finite number" };
  return { code: "no-value", detail: "the run gave no value" };
}
