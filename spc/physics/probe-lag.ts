import { type Outcome, ok, refuse } from "../model/outcome.ts";
import { notPositive } from "./range.ts";

/** A reading of a probe that was put from one steady state into another. */
export interface StepReading {
  readonly seconds: number;
  readonly value: number;
}

/** Part of the step that is fitted: before it the probe is still being moved, after it noise is all there is. */
const fitted = { from: 0.1, to: 0.9 };
const leastReadings = 5;

/**
 * Time constant of a probe from its answer to a step.
 *
 * @shape   readings: finite, in order of time, 0 s at the step or before; from, to: the steady values on either side
 * @unit    s
 * @method  first order: ln((to - T) / (to - from)) falls as a line; least squares with intercept over the first run of
 *          readings from 10 to 90 % of the step; the constant is -1 / slope, so that a dead time does not count
 * @refuses `no-step` where both values are equal; `too-few` below 5 readings on the slope; `no-fit` where they do not
 *          approach; `not-finite`
 * @cost    O(n)
 * @source  solution of tau dT/dt = to - T; the choice of 10 to 90 %: common practice, no source
 * @checked tests/reference/spc/physics/probe-lag.test.ts
 */
export function timeConstantOfStep(readings: readonly StepReading[], from: number, to: number): Outcome<number> {
  const step = to - from;
  if (!Number.isFinite(step)) return refuse("not-finite", `a step needs two numbers, got ${from} and ${to}`);
  if (step === 0) return refuse("no-step", `a time constant needs a step, and both values are ${from}`);
  const times: number[] = [];
  const logs: number[] = [];
  for (const { seconds, value } of readings) {
    const done = (value - from) / step;
    if (!Number.isFinite(done + seconds)) return refuse("not-finite", "a reading of a step is no number");
    if (done > fitted.to) break;
    if (done < fitted.from) continue;
    times.push(seconds);
    logs.push(Math.log(1 - done));
  }
  if (times.length < leastReadings) {
    const detail = "too few readings on the way from one value to the other";
    return refuse("too-few", detail, { needs: leastReadings, has: times.length });
  }
  const slope = slopeOf(times, logs);
  const tau = -1 / slope;
  if (!(tau > 0 && tau < Number.POSITIVE_INFINITY)) {
    return refuse("no-fit", "the readings do not approach the value after the step");
  }
  return ok(tau);
}

/**
 * Time constant of a probe whose maker gives the time to 90 %.
 *
 * @shape   t90Seconds: above 0
 * @unit    s
 * @method  t90 / ln 10
 * @refuses `not-positive`
 * @cost    O(1)
 * @source  first-order answer to a step
 * @checked tests/reference/spc/physics/probe-lag.test.ts
 */
export function timeConstantOfT90(t90Seconds: number): Outcome<number> {
  return notPositive("a time to 90 % in s", t90Seconds) ?? ok(t90Seconds / Math.LN10);
}

/**
 * Lag error: how far a probe reads behind what rises or falls steadily; taken off the true value.
 *
 * @shape   tauSeconds: above 0; perSecond: how fast the true value moves, once it has done so for a few tau
 * @unit    that of the value: positive where it rises, for then the probe reads too low
 * @method  tau dT/dt
 * @refuses `not-positive`, `not-finite`
 * @cost    O(1)
 * @source  steady solution of tau dR/dt = T - R for a ramp
 * @checked tests/reference/spc/physics/probe-lag.test.ts
 */
export function lagError(tauSeconds: number, perSecond: number): Outcome<number> {
  const strange = notPositive("a time constant in s", tauSeconds);
  if (strange !== undefined) return strange;
  const error = tauSeconds * perSecond;
  return Number.isFinite(error) ? ok(error) : refuse("not-finite", `a value that moves by ${perSecond} a second`);
}

/**
 * What is still missing after a step: a tip dipped into metal is this short of it.
 *
 * @shape   step: true value minus what the probe had; tauSeconds: above 0; seconds: since the step, 0 or above
 * @unit    that of the step
 * @method  step e^(-t / tau)
 * @refuses `not-positive` for the time constant; `time-out-of-range` for a time before the step; `not-finite`
 * @cost    O(1)
 * @source  solution of tau dT/dt = to - T
 * @checked tests/reference/spc/physics/probe-lag.test.ts
 */
export function shortfall(step: number, tauSeconds: number, seconds: number): Outcome<number> {
  const strange = notPositive("a time constant in s", tauSeconds);
  if (strange !== undefined) return strange;
  if (!(seconds >= 0)) return refuse("time-out-of-range", `a step must have been 0 s ago or more, got ${seconds}`);
  if (!Number.isFinite(step)) return refuse("not-finite", `a step must be a number, got ${step}`);
  return ok(step * Math.exp(-seconds / tauSeconds));
}

/**
 * How long to wait until a probe has come as close as wanted.
 *
 * @shape   step and closeness in one unit, the latter above 0; tauSeconds: above 0
 * @unit    s; 0 where the step is that small
 * @method  tau ln(|step| / closeness)
 * @refuses `not-positive`, `not-finite`
 * @cost    O(1)
 * @source  `shortfall` solved for time
 * @checked tests/reference/spc/physics/probe-lag.test.ts
 */
export function settlingTime(step: number, tauSeconds: number, closeness: number): Outcome<number> {
  const strange = notPositive("a time constant in s", tauSeconds) ?? notPositive("a closeness", closeness);
  if (strange !== undefined) return strange;
  const seconds = tauSeconds * Math.max(0, Math.log(Math.abs(step)) - Math.log(closeness));
  return Number.isFinite(seconds) ? ok(seconds) : refuse("not-finite", `a step of ${step} and tau of ${tauSeconds} s`);
}

function slopeOf(x: readonly number[], y: readonly number[]): number {
  const meanX = x.reduce((total, one) => total + one / x.length, 0);
  const meanY = y.reduce((total, one) => total + one / y.length, 0);
  let xy = 0;
  let xx = 0;
  for (let i = 0; i < x.length; i += 1) {
    xy += (x[i]! - meanX) * (y[i]! - meanY);
    xx += (x[i]! - meanX) ** 2;
  }
  return xy / xx;
}
