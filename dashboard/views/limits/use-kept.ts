import { useSignal } from "@preact/signals";
import { useEffect } from "preact/hooks";
import type { WireProposal } from "../../../api/contract/bench-wire.ts";
import { ask } from "../../client/ask.ts";
import { paths } from "../../client/paths.ts";

/**
 * Open proposals, and those that were open a moment ago on this page: one that somebody decided meanwhile stays, with
 * what was decided, so that nothing vanishes under a person's hands.
 */
export function useKept(open: readonly WireProposal[] | null): readonly WireProposal[] {
  const seen = useSignal<ReadonlyMap<string, WireProposal>>(new Map());
  useEffect(() => {
    if (open === null) return;
    const now = new Map(open.map((one) => [one.id, one]));
    const gone = [...seen.peek().values()].filter(({ id, state }) => state === "open" && !now.has(id));
    seen.value = new Map([...seen.peek(), ...now]);
    for (const { id } of gone) {
      ask<WireProposal>(paths.proposal(id)).then(
        (one) => {
          seen.value = new Map(seen.peek()).set(id, one);
        },
        () => {
          // Asked again with the next news; until then it is shown as it was, and a press would be refused in words.
        },
      );
    }
  }, [open, seen]);
  const listed = new Set(open?.map(({ id }) => id));
  return [...(open ?? []), ...[...seen.value.values()].filter(({ id }) => !listed.has(id))];
}
