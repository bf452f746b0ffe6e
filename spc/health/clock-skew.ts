import type { HealthFinding } from "./finding.ts";
import { span } from "./shown-words.ts";

/** What is known of a source's clock, all in ms. */
export interface ClockLook {
  /** Smallest of arrival time less source time over the last while: the way takes some time, and never less than none. */
  readonly leastDelayMs: number;
  /** How many messages that rests on. */
  readonly messages: number;
  /** A reading further behind its source's newest than this enters no run. */
  readonly latenessMs: number;
  /** The source sends its past, so its delays say nothing of its clock. */
  readonly catchingUp: boolean;
}

const leastMessages = 20;
/** Clocks of gateways differ by some tenths of a second; the way takes no more than this. Common practice, no source. */
const mostDelayMs = 5_000;

/**
 * Clock skew: a source whose readings are stamped later than they arrive has a clock that runs ahead. One whose quickest
 * message seems to take long has one that runs behind, or its messages wait on the way: `undecided`.
 *
 * @shape   the smallest delay over 20 messages or more
 * @unit    ms
 * @method  ahead by more than a second: `fault`; a smallest delay above 5 s and above the lateness: `undecided`. The smallest
 *          of 20 delays is below 5 s however the single ones scatter, unless every one is above it
 * @cost    O(1)
 * @source  nothing arrives before it is sent; the second and the 5 s are common practice, no source
 * @checked tests/unit/spc/health/clock-skew.test.ts
 */
export function clockSkew({ leastDelayMs, messages, latenessMs, catchingUp }: ClockLook): HealthFinding | null {
  const check = "clock-skew";
  if (catchingUp || messages < leastMessages || !Number.isFinite(leastDelayMs)) return null;
  if (leastDelayMs < -mostAheadMs) {
    return {
      check,
      verdict: "fault",
      says: `its clock is ${span(-leastDelayMs)} ahead of ours by its last ${messages} messages`,
    };
  }
  const says = `its quickest message of ${messages} came ${span(Math.max(0, leastDelayMs))} after its own time`;
  if (leastDelayMs > Math.max(mostDelayMs, latenessMs)) {
    return { check, verdict: "undecided", says: `${says}: its clock is behind, or its messages wait on the way` };
  }
  return { check, verdict: "well", says };
}

const mostAheadMs = 1_000;
