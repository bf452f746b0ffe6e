import type { ClippedState } from "./clipped.ts";
import type { HealthCheck, HealthVerdict } from "./finding.ts";
import type { NoValueState } from "./no-value.ts";
import type { PeerState } from "./peer-drift.ts";
import type { RepeatedState } from "./repeated.ts";
import type { StuckState } from "./stuck.ts";

/** Where one instrument stands. Plain JSON: checkpoints are made of it. */
export interface InstrumentState {
  readonly noValue: NoValueState;
  readonly stuck?: StuckState | undefined;
  readonly clipped?: ClippedState | undefined;
  readonly repeated?: RepeatedState | undefined;
  readonly peers?: PeerState | undefined;
  /** What is wrong now, by check. */
  readonly on: Readonly<Partial<Record<HealthCheck, FaultOn>>>;
  /** What was wrong and is over, oldest first: a run that reached into it has no number. */
  readonly past: readonly FaultOver[];
  /** What each check said last. */
  readonly looks: Readonly<Partial<Record<HealthCheck, Look>>>;
}

export interface FaultOn {
  /** Source time from which on it holds. */
  readonly sinceMs: number;
  readonly verdict: HealthVerdict;
  readonly says: string;
}

export interface FaultOver extends FaultOn {
  readonly check: HealthCheck;
  readonly endMs: number;
}

export interface Look {
  readonly atMs: number;
  readonly verdict: HealthVerdict;
  readonly says: string;
}

/** A fault that began or is over. */
export interface InstrumentEvent {
  readonly kind: "began" | "ended";
  readonly check: HealthCheck;
  readonly verdict: HealthVerdict;
  readonly says: string;
  /** Where it began. */
  readonly sinceMs: number;
  /** Source time of the reading or run that said so. */
  readonly atMs: number;
}
