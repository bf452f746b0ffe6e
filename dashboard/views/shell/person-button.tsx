import { useSignal } from "@preact/signals";
import type { JSX } from "preact";
import { person, remember } from "../../client/person.ts";

/** Who acts on this device: typed once, changed here. */
export function PersonButton(): JSX.Element {
  const editing = useSignal(false);
  if (!editing.value) {
    return (
      <button type="button" class="plain small" onClick={() => (editing.value = true)}>
        {person.value === "" ? "Type your name" : `You: ${person.value}`}
      </button>
    );
  }
  return (
    <form
      class="name-form"
      onSubmit={(event) => {
        event.preventDefault();
        remember(String(new FormData(event.currentTarget).get("name") ?? ""));
        editing.value = false;
      }}
    >
      <label>
        Your name <input name="name" defaultValue={person.value} maxLength={60} autocomplete="off" />
      </label>
      <button type="submit" class="plain small">
        Keep
      </button>
    </form>
  );
}
