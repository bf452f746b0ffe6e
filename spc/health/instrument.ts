import type { Reading } from "../features/readings.ts";
import type { Refusal } from "../model/outcome.ts";
import type { Run, RunTrace } from "../model/run.ts";
import type { Sample } from "../model/sample.ts";
import { nothing, type Stage } from "../model/stage.ts";
import { clippedWatch } from "./clipped.ts";
import type { HealthCheck, HealthFinding } from "./finding.ts";
import type { InstrumentPlan } from "./instrument-plan.ts";
import type { FaultOn, InstrumentEvent, InstrumentState } from "./instrument-state.ts";
import { noValueWatch } from "./no-value.ts";
import { repeatedWatch } from "./repeated.ts";
import { runChecks } from "./run-checks.ts";
import { type SinceFinding, stuckWatch } from "./stuck.ts";

/** Watches one instrument: each reading as it comes, and each run when it is over. */
export interface InstrumentWatch {
  readonly readings: Stage<InstrumentState, Sample, InstrumentEvent>;
  /** Other roles that its checks of a run read. */
  readonly roles: readonly string[];
  run(
    state: InstrumentState,
    look: RunTrace,
  ): { readonly state: InstrumentState; readonly out: readonly InstrumentEvent[] };
}

/** Faults that are over are remembered for runs that reach back into them; more than these at once no run meets. */
const mostPast = 16;

/**
 * All checks of one instrument as one stage. A fault begins and ends once; what is undecided opens nothing, but for
 * readings at the end of the range, which are no values whoever is to blame.
 *
 * @unit    that of the series
 * @method  each check by itself; a fault lasts until the same check says that all is well
 * @cost    O(1) a reading; a run as its checks state
 * @source  derived here
 * @checked tests/unit/spc/health/instrument.test.ts, tests/property/spc/health/instrument.test.ts
 */
export function instrumentWatch(role: string, plan: InstrumentPlan): InstrumentWatch {
  const noValue = noValueWatch(plan.wiring);
  const stuck = plan.stuck === null ? null : stuckWatch(plan.stuck);
  const clipped = plan.clipped === null ? null : clippedWatch(plan.clipped);
  const repeated = plan.repeated === null ? null : repeatedWatch(plan.repeated);
  const checks = runChecks(role, plan);
  return {
    roles: checks.roles,
    readings: {
      initial: { noValue: noValue.initial, on: {}, past: [], looks: {} },
      step: (before, sample) => {
        const no = noValue.step(before.noValue, sample);
        let found: readonly SinceFinding[] = no.out;
        let { stuck: stuckState, clipped: clippedState, repeated: repeatedState } = before;
        if (isReading(sample)) {
          if (stuck !== null) {
            const next = stuck.step(stuckState ?? stuck.initial, sample);
            stuckState = next.state;
            found = joined(found, next.out);
          }
          if (clipped !== null) {
            const next = clipped.step(clippedState ?? clipped.initial, sample);
            clippedState = next.state;
            found = joined(found, next.out);
          }
          if (repeated !== null) {
            const next = repeated.step(repeatedState ?? repeated.initial, sample);
            repeatedState = next.state;
            found = joined(found, next.out);
          }
        }
        const { on, past, looks, peers } = before;
        // Written out, and of one shape: each reading comes by here, and a spread would cost more than the checks.
        const state: InstrumentState = {
          noValue: no.state,
          stuck: stuckState,
          clipped: clippedState,
          repeated: repeatedState,
          peers,
          on,
          past,
          looks,
        };
        return found.length === 0 ? { state, out: nothing } : taken(state, found, sample.tMs);
      },
    },
    run: (before, look) => {
      // What is stuck or gives no value is asked no more: each answer would be the same fault once more.
      if (blocksChecks(before, look.run)) return { state: before, out: [] };
      const { findings, peers } = checks.look(before.peers, look);
      const state = peers === undefined ? before : { ...before, peers };
      const { startMs: sinceMs, endMs } = look.run;
      return taken(
        state,
        findings.map((finding) => ({ sinceMs, finding })),
        endMs,
      );
    },
  };
}

function isReading(sample: Sample): sample is Sample & Reading {
  return sample.value !== null && sample.quality !== "bad";
}

/** Mostly both are empty, and each reading comes by here. */
function joined(some: readonly SinceFinding[], more: readonly SinceFinding[]): readonly SinceFinding[] {
  return more.length === 0 ? some : [...some, ...more];
}

function taken(
  before: InstrumentState,
  found: readonly SinceFinding[],
  atMs: number,
): { readonly state: InstrumentState; readonly out: readonly InstrumentEvent[] } {
  let { on, past, looks } = before;
  const out: InstrumentEvent[] = [];
  for (const { sinceMs, finding } of found) {
    const { check, verdict, says } = finding;
    looks = { ...looks, [check]: { atMs, verdict, says } };
    const known = on[check];
    if (opens(finding)) {
      if (known !== undefined) continue;
      on = { ...on, [check]: { sinceMs, verdict, says } };
      out.push({ kind: "began", check, verdict, says, sinceMs, atMs });
    } else if (verdict === "well" && known !== undefined) {
      const { [check]: _, ...rest } = on;
      on = rest;
      past = [...past, { ...known, check, endMs: endOf(check, sinceMs, atMs) }].slice(-mostPast);
      out.push({ kind: "ended", check, verdict, says, sinceMs: known.sinceMs, atMs });
    }
  }
  return { state: { ...before, on, past, looks }, out };
}

/** A run that is well was so from its start; a reading that is well is so from its own time. */
function endOf(check: HealthCheck, sinceMs: number, atMs: number): number {
  return streamed.has(check) ? atMs : sinceMs;
}

const streamed: ReadonlySet<HealthCheck> = new Set([
  "stuck",
  "clipped",
  "open-circuit",
  "loop-fault",
  "no-value",
  "repeated",
]);

/** Of what is undecided only a reading that is no value stops a chart, so a person has to look. */
function opens({ check, verdict }: HealthFinding): boolean {
  return verdict === "fault" || (verdict === "undecided" && check === "clipped");
}

function blocksChecks({ on, past }: InstrumentState, { startMs, endMs }: Run): boolean {
  return (
    [...streamed].some((check) => (on[check]?.sinceMs ?? Number.POSITIVE_INFINITY) < endMs) ||
    past.some((one) => streamed.has(one.check) && one.sinceMs < endMs && one.endMs > startMs)
  );
}

/** Readings without a value are missing from a run, and its features know how many may be. */
const onlyMissing: ReadonlySet<HealthCheck> = new Set(["open-circuit", "loop-fault", "no-value", "dropout"]);

/**
 * Why a run has no number from an instrument: a fault of it that reaches into the run.
 *
 * @shape   refused: the run's feature has refused by itself, for readings that are missing
 * @unit    ms since the epoch, source time; undefined where nothing stands against the number
 * @method  a fault counts from the first reading that it shows in to the first that is well; where it only leaves readings
 *          out, the feature's own coverage rules, and the fault is told as its reason
 * @source  derived here
 * @checked tests/unit/spc/health/instrument.test.ts
 */
export function instrumentRefusal(
  state: Pick<InstrumentState, "on" | "past">,
  role: string,
  run: Pick<Run, "startMs" | "endMs">,
  refused: boolean,
): Refusal | undefined {
  const now = Object.entries(state.on).map(([check, fault]: [string, FaultOn]) => ({
    ...fault,
    check: check as HealthCheck,
    endMs: Number.POSITIVE_INFINITY,
  }));
  const found = [...now, ...state.past].find(
    ({ check, sinceMs, endMs }) => sinceMs < run.endMs && endMs > run.startMs && (refused || !onlyMissing.has(check)),
  );
  return found === undefined ? undefined : { code: "instrument-fault", detail: `${role} ${found.says}` };
}
