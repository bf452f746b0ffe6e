import { chartPairs } from "../charts/pair.ts";
import type { Characteristic } from "../model/characteristic.ts";
import type { PointRecord } from "../model/journal-entry.ts";
import type { LimitSet } from "../model/limit-set.ts";
import type { Refusal } from "../model/outcome.ts";
import type { Plotted } from "../model/point.ts";
import type { Signal } from "../model/signal.ts";
import type { Stage, Step } from "../model/stage.ts";
import { appliedRules } from "../rules/applied-rules.ts";
import type { RuleOn } from "../rules/rule.ts";
import type { RuleHit, RuleState } from "../rules/rule-monitor.ts";
import { ruleMonitor } from "../rules/rule-monitor.ts";
import { checkedLimitSet } from "./checked-limit-set.ts";
import type { Finding } from "./finding.ts";
import { asSignal, outsideSpecification } from "./finding.ts";

/** What reaches a characteristic, in the order in which it takes effect. */
export type MonitorInput =
  | {
      readonly kind: "point";
      readonly run: string;
      /** End of the run, source time. */
      readonly atMs: number;
      readonly value: number | null;
      readonly refusal?: Refusal;
    }
  | { readonly kind: "limits"; readonly set: LimitSet }
  | { readonly kind: "done"; readonly flag: string };

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
  readonly location: ChartState;
  readonly spread: ChartState;
  /** Flag that is open on the characteristic. */
  readonly flag: string | null;
}

interface ChartState {
  readonly chart: unknown;
  readonly rules: RuleState | null;
}

/**
 * All that watches one characteristic: the chart pair, its rules, the specification, and the flag that gathers their
 * signals. Same inputs, same outputs, wherever the stream is cut.
 */
export function characteristicMonitor(
  characteristic: Characteristic,
): Stage<MonitorState, MonitorInput, MonitorOutput> {
  const pair = chartPairs[characteristic.chart];
  const spacing = { everyMs: characteristic.everyMs };

  /** Charts and rules of one limit set. Memory belongs to the set that ruled: under the next it starts anew. */
  const charted = (on: RuleOn, set: LimitSet | null) => {
    const limits = set?.[on] ?? null;
    const chart = pair[on].monitor(limits, spacing);
    const rules = set === null || limits === null ? null : ruleMonitor(appliedRules(set, on), limits, spacing);
    return { chart, rules, initial: { chart: chart.initial, rules: rules?.initial ?? null } };
  };
  type Charted = ReturnType<typeof charted>;

  // Stages hold no state of their own, so the ones of the set in force are kept rather than made for every point.
  let made: { readonly set: LimitSet | null; readonly location: Charted; readonly spread: Charted } | null = null;
  const chartsOf = (set: LimitSet | null) => {
    if (made === null || made.set?.id !== set?.id) {
      made = { set, location: charted("location", set), spread: charted("spread", set) };
    }
    return made;
  };

  const afresh = (state: MonitorState, limits: LimitSet | null): MonitorState => {
    const charts = chartsOf(limits);
    return { ...state, limits, location: charts.location.initial, spread: charts.spread.initial };
  };

  /** Of the sets whose time has come the latest put in force rules, and those before it never do. */
  const withLimitsAt = (state: MonitorState, atMs: number): MonitorState => {
    const due = state.next.findLastIndex((set) => atMs >= set.effectiveFromMs);
    return due === -1 ? state : afresh({ ...state, next: state.next.slice(due + 1) }, state.next[due]!);
  };

  function stepChart(made: Charted, state: ChartState, plotted: Plotted, run: string) {
    const charted = made.chart.step(state.chart, plotted);
    const point = charted.out[0]!;
    if (made.rules === null || state.rules === null) {
      return { state: { chart: charted.state, rules: null }, point, hits: [] as readonly RuleHit[] };
    }
    const ruled = made.rules.step(state.rules, { run, atMs: plotted.atMs, point });
    return { state: { chart: charted.state, rules: ruled.state }, point, hits: ruled.out };
  }

  function stepPoint(
    before: MonitorState,
    input: Extract<MonitorInput, { kind: "point" }>,
  ): Step<MonitorState, MonitorOutput> {
    const state = withLimitsAt(before, input.atMs);
    const charts = chartsOf(state.limits);
    const value = input.value !== null && Number.isFinite(input.value) ? input.value : null;
    const plotted = { subgroup: state.seen, atMs: input.atMs, value };
    const location = stepChart(charts.location, state.location, plotted, input.run);
    const spread = stepChart(charts.spread, state.spread, plotted, input.run);

    const findings: Finding[] = [
      ...outsideSpecification(value, characteristic.specification),
      ...location.hits.map((hit): Finding => ({ ...hit, on: "location", value: location.point.value! })),
      ...spread.hits.map((hit): Finding => ({ ...hit, on: "spread", value: spread.point.value! })),
    ];
    const flag = state.flag ?? (findings.length > 0 ? flagId(characteristic.id, input.run) : null);
    const signals = findings.map((finding) => asSignal(finding, characteristic, state.limits, input, flag!));
    const refusal = refusalOf(input, value, state.limits);
    const point: PointRecord = {
      characteristic: characteristic.id,
      run: input.run,
      subgroup: state.seen,
      atMs: input.atMs,
      imported: false,
      limitSet: state.limits?.id ?? null,
      location: location.point,
      spread: spread.point,
      ...(refusal === null ? {} : { refusal }),
      signals: signals.map(({ id }) => id),
    };
    return {
      state: { ...state, seen: state.seen + 1, location: location.state, spread: spread.state, flag },
      out: [{ kind: "point", point }, ...signals.map((signal) => ({ kind: "signal", signal }) as const)],
    };
  }

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
        case "point":
          return stepPoint(state, input);
        case "limits":
          return {
            state: { ...state, next: [...state.next, checkedLimitSet(input.set, characteristic, pair)] },
            out: [],
          };
        case "done":
          return { state: state.flag === input.flag ? afterDone(state) : state, out: [] };
      }
    },
  };

  /** A run rule needs new points after a person's done; the charts' own memory, and the limits, go on. */
  function afterDone(state: MonitorState): MonitorState {
    const charts = chartsOf(state.limits);
    return {
      ...state,
      flag: null,
      location: { ...state.location, rules: charts.location.initial.rules },
      spread: { ...state.spread, rules: charts.spread.initial.rules },
    };
  }
}

/** A flag is named after its first run, so that a replay opens the same one. */
export function flagId(characteristic: string, run: string): string {
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
