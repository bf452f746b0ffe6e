import type { LeastPlan } from "./below-least.ts";
import type { ClippedPlan } from "./clipped.ts";
import type { Wiring } from "./no-value.ts";
import type { PeerPlan } from "./peer-drift.ts";
import type { RepeatedPlan } from "./repeated.ts";
import type { SpikePlan } from "./spikes.ts";
import type { StuckPlan } from "./stuck.ts";
import type { ZeroPlan } from "./zero.ts";

/** What is known of one instrument, and so what it can be asked; null where the settings do not say enough. */
export interface InstrumentPlan {
  readonly wiring: Wiring;
  readonly unit: string;
  /** Expected spacing of its readings while it is watched most closely. */
  readonly everyMs: number;
  readonly stuck: StuckPlan | null;
  readonly clipped: ClippedPlan | null;
  readonly repeated: RepeatedPlan | null;
  readonly spikes: SpikePlan | null;
  readonly zero: KnownState | null;
  readonly peers: (PeerPlan & { readonly roles: readonly string[] }) | null;
  readonly slow: StepAnswer | null;
  /** What another role told of the run last is the least that this one may read at its end. */
  readonly least: (LeastPlan & { readonly role: string; readonly lastMs: number }) | null;
  /** Temperature round the terminals of a thermocouple; its peers are those above. */
  readonly ambientCel: number | null;
}

/** The end of a named part of the run, where the truth is known: a number, or what another instrument reads. */
export interface KnownState extends ZeroPlan {
  readonly segment: string;
  readonly lastMs: number;
  readonly against: string | null;
  /** Of a waveform, which of its measures: null for its level, and for any other reading. */
  readonly measure: string | null;
}

/** The level that a step leads to: known, or what another instrument reads meanwhile. */
export type StepLevel = number | { readonly role: string };

/** A named part of the run that begins with a step toward a level. */
export interface StepAnswer {
  readonly segment: string;
  readonly to: StepLevel;
  readonly atMostSeconds: number;
  readonly witness: { readonly role: string; readonly to: StepLevel; readonly atMostSeconds: number } | null;
}
