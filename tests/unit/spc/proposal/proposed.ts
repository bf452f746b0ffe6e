import type { EntryBody } from "../../../../spc/model/journal-entry.ts";
import type { PersonRef, Proposed } from "../../../../spc/model/proposal.ts";
import { limitsOf, plateau } from "../press-fixtures.ts";

/** Limits of the press's plateau that somebody proposes. */
export function proposedBy(
  by: PersonRef,
  number: number,
  change: Partial<Proposed> = {},
): Extract<EntryBody, { kind: "proposed" }> {
  const {
    id,
    characteristic,
    revision,
    effectiveFromMs,
    frozenAtMs,
    proposedBy: _p,
    agreedBy,
    reason,
    engine,
    ...limits
  } = limitsOf();
  const body: Proposed = {
    ...{ proposal: `${plateau.id}~${number}`, number, characteristic: plateau.id, by, atMs: 1 },
    ...{ reason: "a quiet month", limits, window: { fromMs: 0, toMs: 1_000 }, exclusions: [] },
    ...{ follows: null, shown: {}, engine: "test" },
    ...change,
  };
  return { kind: "proposed", body };
}
