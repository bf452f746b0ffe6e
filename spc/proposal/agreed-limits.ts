import type { LimitSet } from "../model/limit-set.ts";
import type { PersonRef, Proposed } from "../model/proposal.ts";

/** When and by whom, and what stood in the journal at that moment. */
export interface Agreement {
  readonly by: PersonRef;
  readonly atMs: number;
  /** Of the newest set of the characteristic; 0 where there is none. */
  readonly formerRevision: number;
  /** Time of the newest point that was judged; null where there is none. */
  readonly judgedMs: number | null;
}

/**
 * The limit set that an agreement puts in force: the proposed lines, unchanged, under the next revision. It rules from
 * the first moment after the newest point already judged, and never before the end of its own baseline.
 */
export function agreedLimits(proposed: Proposed, agreement: Agreement): LimitSet {
  const { characteristic, limits, reason, by, engine } = proposed;
  const revision = agreement.formerRevision + 1;
  return {
    ...limits,
    id: `${characteristic}@${revision}`,
    characteristic,
    revision,
    effectiveFromMs: Math.max(limits.baseline.toMs, agreement.judgedMs ?? Number.NEGATIVE_INFINITY) + 1,
    frozenAtMs: agreement.atMs,
    proposedBy: by.name,
    agreedBy: agreement.by.name,
    reason,
    engine,
  };
}
