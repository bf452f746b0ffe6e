import type { Characteristic } from "../model/characteristic.ts";
import type { LimitSet } from "../model/limit-set.ts";
import type { ProposedLimits } from "../model/proposal.ts";
import type { Side, SignalOn } from "../model/signal.ts";
import { advance } from "../model/stage.ts";
import type { MonitorInput } from "../monitor/characteristic-monitor.ts";
import { characteristicMonitor } from "../monitor/characteristic-monitor.ts";
import type { RuleOn } from "../rules/rule.ts";
import type { ChanceRate } from "./chance-rate.ts";
import type { ChartWindow } from "./chart-window.ts";

export interface ReplayHit {
  readonly rule: string;
  readonly on: RuleOn;
  readonly side: Side;
}

/** A run that signals by the proposed limits, or that did by those in force. */
export interface ReplayItem {
  readonly run: string;
  readonly atMs: number;
  readonly imported: boolean;
  readonly value: number | null;
  readonly proposed: readonly ReplayHit[];
  readonly inForce: readonly ReplayHit[];
}

export interface ReplaySide {
  readonly runs: number;
  readonly byRule: readonly { readonly rule: string; readonly on: RuleOn; readonly count: number }[];
}

/** What limits would have flagged among stored runs, beside what was flagged. */
export interface Replay {
  readonly fromMs: number;
  readonly toMs: number;
  readonly runs: number;
  /** Points that have a value: of a chart of subgroups fewer than runs. */
  readonly values: number;
  readonly proposed: ReplaySide;
  readonly inForce: ReplaySide;
  readonly both: number;
  /** Runs that chance alone would have flagged by the proposed limits. */
  readonly byChance: number | null;
  /** Newest first. */
  readonly items: readonly ReplayItem[];
}

/** Signals that the journal holds, by run. */
export type RecordedSignals = ReadonlyMap<
  string,
  readonly { readonly rule: string; readonly on: SignalOn; readonly side: Side }[]
>;

/**
 * Replay of a span under limits that never ruled: the very monitor that judges live, from its beginning, with nobody
 * closing a flag in between. Signals against the specification do not depend on limits and are left out on both sides.
 * A little at a time: whoever has other work to do does it between two steps.
 */
export function* replaySteps(
  characteristic: Characteristic,
  limits: ProposedLimits,
  span: ChartWindow,
  recorded: RecordedSignals,
  chance: ChanceRate | null,
): Generator<undefined, Replay> {
  const { found, values } = yield* judgedUnder({ ...characteristic, everyMs: span.everyMs }, limits, span);
  const items = span.runs.flatMap(({ run, atMs, imported, value }): ReplayItem[] => {
    const proposed = found.get(run) ?? [];
    const inForce = hitsOf(recorded.get(run) ?? []);
    return proposed.length + inForce.length === 0 ? [] : [{ run, atMs, imported, value, proposed, inForce }];
  });
  return {
    ...{ fromMs: span.fromMs, toMs: span.toMs, runs: span.runs.length, values },
    proposed: counted(items.map((item) => item.proposed)),
    inForce: counted(items.map((item) => item.inForce)),
    both: items.filter(({ proposed, inForce }) => proposed.length > 0 && inForce.length > 0).length,
    byChance: chance?.pair.onceIn == null ? null : values / chance.pair.onceIn,
    items: items.toReversed(),
  };
}

const runsAStep = 20;

function* judgedUnder(
  characteristic: Characteristic,
  limits: ProposedLimits,
  span: ChartWindow,
): Generator<undefined, { readonly found: ReadonlyMap<string, readonly ReplayHit[]>; readonly values: number }> {
  const set: LimitSet = {
    ...limits,
    ...{ id: `${characteristic.id}@trial`, characteristic: characteristic.id, revision: 0, engine: "replay" },
    ...{ effectiveFromMs: span.fromMs, frozenAtMs: span.fromMs },
    ...{ proposedBy: "whoever asks", agreedBy: "nobody yet", reason: "replay" },
  };
  const inputs: MonitorInput[] = [
    { kind: "limits", set },
    ...span.runs.map(({ imported: _, ...stored }): MonitorInput => ({ kind: "point", ...stored })),
  ];
  const found = new Map<string, ReplayHit[]>();
  let values = 0;
  const monitor = characteristicMonitor(characteristic);
  let state = monitor.initial;
  for (let from = 0; from < inputs.length; from += runsAStep) {
    const judged = advance(monitor, inputs.slice(from, from + runsAStep), state);
    state = judged.state;
    for (const out of judged.out) {
      if (out.kind === "point" && out.point.location.value !== null) values += 1;
      if (out.kind !== "signal" || out.signal.on === "specification") continue;
      const { run, rule, on, side } = out.signal;
      const hits = found.get(run) ?? [];
      hits.push({ rule, on, side });
      found.set(run, hits);
    }
    yield;
  }
  return { found, values };
}

function hitsOf(
  signals: readonly { readonly rule: string; readonly on: SignalOn; readonly side: Side }[],
): ReplayHit[] {
  return signals.flatMap(({ rule, on, side }) => (on === "specification" ? [] : [{ rule, on, side }]));
}

function counted(runs: readonly (readonly ReplayHit[])[]): ReplaySide {
  const byRule = new Map<string, { readonly rule: string; readonly on: RuleOn; readonly count: number }>();
  for (const { rule, on } of runs.flat()) {
    const key = `${rule} ${on}`;
    byRule.set(key, { rule, on, count: (byRule.get(key)?.count ?? 0) + 1 });
  }
  return { runs: runs.filter((hits) => hits.length > 0).length, byRule: [...byRule.values()] };
}
