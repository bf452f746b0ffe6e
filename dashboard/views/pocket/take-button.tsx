import type { JSX } from "preact";
import { useState } from "preact/hooks";
import { person, remember } from "../../client/person.ts";
import { own, takeIt } from "../../pocket/pocket-state.ts";
import { saidBlank } from "../flags/said-blank.ts";

/** The one button. Whoever has set the phone up is known; anybody else is asked for a name, once. */
export function TakeButton({ flag, what }: { readonly flag: string; readonly what: string }): JSX.Element {
  const [asking, setAsking] = useState(false);
  const by = own.value?.device?.personName ?? person.value;
  if (asking) {
    return (
      <form
        class="take-name"
        onSubmit={(event) => {
          event.preventDefault();
          const name = String(new FormData(event.currentTarget).get("by") ?? "").trim();
          if (saidBlank(event.currentTarget, "by", "A name, not only spaces")) return;
          remember(name);
          void takeIt(flag, name);
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
      aria-label={`Take it: ${what}`}
      onClick={() => {
        if (by === "") setAsking(true);
        else void takeIt(flag, by);
      }}
    >
      Take it
    </button>
  );
}
