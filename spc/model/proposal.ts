import type { LimitSet } from "./limit-set.ts";

/** Somebody of the settings, as a decision names them. */
export interface PersonRef {
  readonly id: string;
  readonly name: string;
}

/** Why a run is left out of a baseline, and who says so. */
export interface Exclusion {
  readonly run: string;
  readonly cause: string;
  readonly evidence: string;
  /** What was done so that it does not come back. */
  readonly action: string;
  readonly by: string;
  readonly atMs: number;
}

/** All of a limit set that follows from its window; its name, its people and its times come with the agreement. */
export type ProposedLimits = Pick<
  LimitSet,
  | "basis"
  | "charts"
  | "location"
  | "spread"
  | "scheme"
  | "estimator"
  | "k"
  | "unit"
  | "rules"
  | "baseline"
  | "diagnostics"
>;

/** Limits that one person proposes, as they would rule, with what that person saw. */
export interface Proposed {
  /** `${characteristic}~${number}` */
  readonly proposal: string;
  /** Counted by characteristic, from 1. */
  readonly number: number;
  readonly characteristic: string;
  readonly by: PersonRef;
  readonly atMs: number;
  readonly reason: string;
  readonly limits: ProposedLimits;
  /** Runs that ended in from <= t < to. */
  readonly window: { readonly fromMs: number; readonly toMs: number };
  readonly exclusions: readonly Exclusion[];
  /** The newest limit set when it was proposed, which it would follow; null where it would be the first. */
  readonly follows: string | null;
  /** Numbers that stood beside it: for people, nothing is reckoned from them. Plain JSON. */
  readonly shown: unknown;
  /** Version of the product that computed it. */
  readonly engine: string;
}

/** A second person's agreement: the limit set of that name is written with it. */
export interface Agreed {
  readonly proposal: string;
  readonly characteristic: string;
  readonly by: PersonRef;
  readonly atMs: number;
  readonly limitSet: string;
}

export interface Withdrawn {
  readonly proposal: string;
  readonly characteristic: string;
  readonly by: PersonRef;
  readonly atMs: number;
  readonly reason: string;
}
