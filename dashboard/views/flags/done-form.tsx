import { useSignal } from "@preact/signals";
import type { JSX } from "preact";
import type { WirePeople } from "../../../api/contract/bench-wire.ts";
import type { WireFlag } from "../../../api/contract/wire.ts";
import { actions, done } from "../../client/actions.ts";
import { paths } from "../../client/paths.ts";
import { mayTry } from "../../client/session.ts";
import { RefusedControl } from "../people/refused-control.tsx";
import { ChoosePerson, firstChosen, PinField, signerOf } from "../people/who-signs.tsx";
import { useAnswer } from "../shell/use-answer.ts";

const right = "handle-flags";

const noCause = "no cause found";

/** Closes a flag with its cause. What was typed stays until the server has it. */
export function DoneForm(props: { readonly flag: WireFlag; readonly causes: readonly string[] }): JSX.Element | null {
  const { flag } = props;
  const open = useSignal(false);
  const chosen = useSignal<string | null>(null);
  const people = useAnswer<WirePeople>(open.value ? paths.people : null);
  if (flag.state === "done") return null;
  if (!mayTry(right)) {
    return (
      <RefusedControl
        right={right}
        words="Done …"
        label={`Done: ${flag.station} ${flag.says}`}
        saidBeside={flag.state === "waiting"}
      />
    );
  }
  if (!open.value) {
    return (
      <button
        type="button"
        class="plain"
        aria-label={`Done: ${flag.station} ${flag.says}`}
        onClick={() => (open.value = true)}
      >
        Done …
      </button>
    );
  }
  const signs = chosen.value ?? firstChosen(right);
  const known = people.answer.value.value?.items ?? [];
  const action = actions.value.get(flag.id);
  const sending = action?.step === "sending" && action.kind === "done";
  const causes = [...props.causes.filter((cause) => cause !== noCause), noCause];
  return (
    <form
      class="done-form"
      onSubmit={(event) => {
        event.preventDefault();
        const given = new FormData(event.currentTarget);
        const cause = String(given.get("cause") ?? "");
        if (cause === "") return;
        const signer = signerOf(given, right, known);
        done(flag.id, signer, { cause, note: String(given.get("note") ?? "").trim() });
      }}
    >
      <label>
        Cause
        <select name="cause" required>
          <option value="" disabled selected>
            Choose the cause
          </option>
          {causes.map((cause) => (
            <option key={cause} value={cause}>
              {cause}
            </option>
          ))}
        </select>
      </label>
      <label class="wide">
        Note
        <textarea name="note" rows={2} maxLength={2000} placeholder="What was found, what was done" />
      </label>
      <ChoosePerson known={known} right={right} chosen={signs} choose={(id) => (chosen.value = id)} />
      <PinField right={right} chosen={signs} />
      <div class="buttons">
        <button type="submit" class="strong" disabled={sending}>
          {sending ? "sending …" : "Done"}
        </button>
        <button type="button" class="plain" onClick={() => (open.value = false)}>
          Not now
        </button>
      </div>
      <p class="light">Closing starts the count of its run rules anew at the next point. Limits do not move.</p>
    </form>
  );
}
