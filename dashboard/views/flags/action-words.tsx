import type { JSX } from "preact";
import type { WireFlag } from "../../../api/contract/wire.ts";
import { actions, retryNow } from "../../client/actions.ts";
import { clockMs } from "../../client/picture-store.ts";
import { siteTimes } from "../../model/times.ts";

/** What became of the last action on a flag, said beside its control: an error, a conflict, and what to do. */
export function ActionWords({ flag, zone }: { readonly flag: WireFlag; readonly zone: string }): JSX.Element | null {
  const action = actions.value.get(flag.id);
  if (action?.step === "unanswered") {
    const seconds = Math.max(0, Math.ceil((action.retryAtMs - clockMs.value) / 1_000));
    return (
      <p class="action-words" role="status">
        Not saved: {action.why}. Trying again in {seconds} s{" "}
        <button type="button" class="plain small" onClick={() => retryNow(flag.id)}>
          Retry now
        </button>
      </p>
    );
  }
  if (action?.step === "refused") {
    return (
      <p class="action-words" role="status">
        Not saved: {action.why}.
      </p>
    );
  }
  if (action?.step === "conflict") {
    return (
      <p class="action-words" role="status">
        {conflictWords(action.theirs, action.kind, zone)} Yours was not sent.
      </p>
    );
  }
  return null;
}

function conflictWords(theirs: WireFlag, kind: "take" | "done", zone: string): string {
  const times = siteTimes(zone);
  if (theirs.done !== null && (kind === "done" || theirs.state === "done")) {
    return `${theirs.done.by} closed this at ${times.minute(Date.parse(theirs.done.at))}: ${theirs.done.cause}.`;
  }
  if (theirs.taken !== null) return `${theirs.taken.by} took this at ${times.minute(Date.parse(theirs.taken.at))}.`;
  return "Somebody else changed this flag meanwhile.";
}
