import type { Reading } from "../features/readings.ts";
import { timeConstantOfStep } from "../physics/probe-lag.ts";
import type { HealthFinding } from "./finding.ts";
import { figure } from "./shown-words.ts";

export interface SlowInput {
  /** From the step on, in time order. */
  readonly readings: readonly Reading[];
  /** When the step came. */
  readonly stepMs: number;
  readonly from: number;
  readonly to: number;
  /** The longest time constant that a healthy one shows there. */
  readonly atMostSeconds: number;
  /** Of the same step, an instrument that measures it another way; null where there is none. */
  readonly witness: {
    readonly readings: readonly Reading[];
    readonly from: number;
    readonly to: number;
    readonly atMostSeconds: number;
  } | null;
}

/**
 * Slow probe: its answer to a step that everybody knows of takes too long. A witness that answers in time says that the
 * step itself was quick: then the probe, or what leads to it, is slow. Without one it may be the process.
 *
 * @shape   readings after a step from one steady level to another
 * @unit    s
 * @method  time constant by `timeConstantOfStep` above the one stated: `fault` where the witness is within its own,
 *          `undecided` where it is slow too or there is none. The constant of 10 readings at 1 % noise is known to 3 %:
 *          one stated at twice the healthy one is never passed by chance
 * @cost    O(n)
 * @source  first-order answer to a step
 * @checked tests/unit/spc/health/slow-probe.test.ts, tests/property/spc/health/run-checks.test.ts
 */
export function slowProbe({ witness, atMostSeconds, ...step }: SlowInput): HealthFinding | null {
  const check = "slow-probe";
  const own = constantOf(step);
  if (own === null) return null;
  const says = `answers a step with ${figure(own, "s")}, ${figure(atMostSeconds, "s")} at most is healthy`;
  if (own <= atMostSeconds) return { check, verdict: "well", says };
  const other = witness === null ? null : constantOf({ ...witness, stepMs: step.stepMs });
  if (witness === null || other === null) {
    return { check, verdict: "undecided", says: `${says}; nothing else tells whether the step itself was slow` };
  }
  const beside = `the witness took ${figure(other, "s")}`;
  if (other > witness.atMostSeconds)
    return { check, verdict: "undecided", says: `${says}; ${beside} and was slow too` };
  return { check, verdict: "fault", says: `${says}; ${beside}, so the step itself was quick` };
}

function constantOf(step: Pick<SlowInput, "readings" | "stepMs" | "from" | "to">): number | null {
  const { readings, stepMs, from, to } = step;
  const seconds = readings.map(({ tMs, value }) => ({ seconds: (tMs - stepMs) / 1000, value }));
  const tau = timeConstantOfStep(seconds, from, to);
  return tau.ok ? tau.value : null;
}
