import type { PairStatus } from "../../collector/start.ts";
import type { RunRecord } from "../../spc/model/journal-entry.ts";
import type { LimitSet } from "../../spc/model/limit-set.ts";
import type { ChartPoint } from "../../spc/model/point.ts";
import type { ProposedLimits } from "../../spc/model/proposal.ts";
import type { WireProposedLimits } from "../contract/bench-wire.ts";
import type { WireFreshness, WireLimitSet, WirePair, WirePoint, WireRun } from "../contract/wire.ts";

/** How fresh a station's data are, as the collector says. */
export interface StationFreshness {
  readonly station: string;
  readonly source: string;
  readonly newestMs: number | null;
  readonly state: WireFreshness["state"];
  readonly overdue: string | null;
  readonly openSinceMs: number | null;
  readonly missing: {
    readonly messages: number;
    readonly afterMs: number | null;
    readonly beforeMs: number | null;
  } | null;
  readonly refused: WireFreshness["refused"];
  readonly late: { readonly readings: number; readonly newestMs: number } | null;
  readonly clockMs: number | null;
}

/** Milliseconds since the epoch to what stands on the wire. */
export function instant(ms: number): string {
  return new Date(ms).toISOString();
}

/** How a pair of collectors stands. */
export function wirePair({ active, epoch, aloneSinceMs }: PairStatus): WirePair {
  return { active, epoch, standby: aloneSinceMs === null, aloneSince: instantOrNull(aloneSinceMs) };
}

export function instantOrNull(ms: number | null | undefined): string | null {
  return ms === null || ms === undefined ? null : instant(ms);
}

export function wireChartPoint(point: ChartPoint): WirePoint["location"] {
  const { value, centre, lower, upper, verdict } = point;
  return { value, centre, lower, upper, verdict };
}

export function wireLimitSet(set: LimitSet): WireLimitSet {
  return {
    id: set.id,
    revision: set.revision,
    ...wireLimits(set),
    effectiveFrom: instant(set.effectiveFromMs),
    frozenAt: instant(set.frozenAtMs),
    proposedBy: set.proposedBy,
    agreedBy: set.agreedBy,
    reason: set.reason,
    engine: set.engine,
  };
}

/** Limits with what they rest on, whether they rule or are proposed. */
export function wireLimits(limits: ProposedLimits): Omit<WireProposedLimits, "unit"> {
  const { basis, location, spread, estimator, k, baseline, diagnostics } = limits;
  return {
    ...{ basis, location, spread, estimator, k },
    charts: [...limits.charts],
    ...(limits.scheme === undefined ? {} : { scheme: limits.scheme }),
    rules: [...limits.rules],
    baseline: {
      from: instant(baseline.fromMs),
      to: instant(baseline.toMs),
      n: baseline.n,
      imported: baseline.imported,
      excluded: { ...baseline.excluded },
    },
    diagnostics: {
      ...diagnostics,
      lag1Band: [diagnostics.lag1Band[0], diagnostics.lag1Band[1]],
      cautions: [...diagnostics.cautions],
    },
  };
}

/** What a run is called that a person made by measuring, whatever the station's machine makes. */
export const handWord = "sample";

export function wireRun(record: RunRecord, runWord: string): WireRun {
  const { run, imported, features } = record;
  return {
    id: run.id,
    station: run.station,
    runWord: run.closedBy === "by-hand" ? handWord : runWord,
    start: instant(run.startMs),
    end: instant(run.endMs),
    closedBy: run.closedBy,
    imported,
    context: { ...run.context },
    segments: run.segments.map(({ name, fromMs, toMs }) => ({ name, from: instant(fromMs), to: instant(toMs) })),
    features: features.map((f) => ({ ...f })),
  };
}

export function wireFreshness({ newestMs, openSinceMs, missing, clockMs, ...rest }: StationFreshness): WireFreshness {
  const { station, source, state, overdue, refused, late } = rest;
  return {
    ...{ station, source, state, overdue },
    refused: refused === null ? null : { messages: refused.messages, code: refused.code },
    newest: instantOrNull(newestMs),
    runOpenSince: instantOrNull(openSinceMs),
    missing:
      missing === null
        ? null
        : {
            messages: missing.messages,
            from: instantOrNull(missing.afterMs),
            to: instantOrNull(missing.beforeMs),
          },
    // A line that another version wrote the copy of may not know of it.
    late: late == null ? null : { readings: late.readings, newest: instant(late.newestMs) },
    clockWrong: clockMs === null ? null : clockMs / 1000,
  };
}
