import { useSignal } from "@preact/signals";
import type { JSX } from "preact";
import type { WireFlag } from "../../../api/contract/wire.ts";
import { actions, take } from "../../client/actions.ts";
import { person, remember } from "../../client/person.ts";
import { saidBlank } from "./said-blank.ts";

/**
 * The one button of a waiting flag. It takes at once when the name is known on this device, and asks for it first
 * when it is not.
 */
export function TakeIt({ flag }: { readonly flag: WireFlag }): JSX.Element | null {
  const asking = useSignal(false);
  const action = actions.value.get(flag.id);
  if (flag.state !== "waiting") return null;
  if (action?.step === "sending") {
    return (
      <p class="sending" role="status">
        <b>{action.by}</b> sending …
      </p>
    );
  }
  if (asking.value) {
    return (
      <form
        class="take-form"
        onSubmit={(event) => {
          event.preventDefault();
          const name = String(new FormData(event.currentTarget).get("by") ?? "").trim();
          if (saidBlank(event.currentTarget, "by", "A name, not only spaces")) return;
          remember(name);
          asking.value = false;
          take(flag.id, name);
        }}
      >
        <label>
          <span>Your name</span>
          <input
            name="by"
            required
            maxLength={60}
            autocomplete="off"
            onInput={(event) => event.currentTarget.setCustomValidity("")}
            ref={(input) => {
              if (input !== null && document.activeElement !== input && input.value === "") input.focus();
            }}
          />
        </label>
        <button type="submit" class="strong">
          Take it
        </button>
      </form>
    );
  }
  return (
    <button
      type="button"
      class="strong"
      aria-label={`Take it: ${flag.station} ${flag.says}`}
      onClick={() => {
        if (person.value === "") asking.value = true;
        else take(flag.id, person.value);
      }}
    >
      Take it
    </button>
  );
}
