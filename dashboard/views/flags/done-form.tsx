import { useSignal } from "@preact/signals";
import type { JSX } from "preact";
import type { WireFlag } from "../../../api/contract/wire.ts";
import { actions, done } from "../../client/actions.ts";
import { person, remember } from "../../client/person.ts";
import { saidBlank } from "./said-blank.ts";

const noCause = "no cause found";

/** Closes a flag with its cause. What was typed stays until the server has it. */
export function DoneForm(props: { readonly flag: WireFlag; readonly causes: readonly string[] }): JSX.Element | null {
  const { flag } = props;
  const open = useSignal(false);
  if (flag.state === "done") return null;
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
  const action = actions.value.get(flag.id);
  const sending = action?.step === "sending" && action.kind === "done";
  const causes = [...props.causes.filter((cause) => cause !== noCause), noCause];
  return (
    <form
      class="done-form"
      onSubmit={(event) => {
        event.preventDefault();
        const given = new FormData(event.currentTarget);
        const by = String(given.get("by") ?? "").trim();
        const cause = String(given.get("cause") ?? "");
        if (saidBlank(event.currentTarget, "by", "A name, not only spaces") || cause === "") return;
        remember(by);
        done(flag.id, by, { cause, note: String(given.get("note") ?? "").trim() });
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
      <label>
        Your name
        <input
          name="by"
          required
          maxLength={60}
          defaultValue={person.value}
          autocomplete="off"
          onInput={(event) => event.currentTarget.setCustomValidity("")}
        />
      </label>
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
