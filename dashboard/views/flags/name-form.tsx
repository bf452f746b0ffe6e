import { useSignal } from "@preact/signals";
import type { JSX } from "preact";
import { useEffect, useRef } from "preact/hooks";
import type { WirePeople } from "../../../api/contract/bench-wire.ts";
import type { Signer } from "../../client/actions.ts";
import { paths } from "../../client/paths.ts";
import { ChoosePerson, firstChosen, PinField, signerOf } from "../people/who-signs.tsx";
import { useAnswer } from "../shell/use-answer.ts";

/** Person and PIN at a terminal that is shared, or for somebody else than whoever is signed in. */
export function NameForm(props: {
  readonly button: string;
  readonly named: (signer: Signer) => void;
  readonly close: () => void;
}): JSX.Element {
  const right = "handle-flags";
  const { answer } = useAnswer<WirePeople>(paths.people);
  const chosen = useSignal(firstChosen(right));
  const form = useRef<HTMLFormElement>(null);
  const known = answer.value.value?.items ?? null;
  const ready = known !== null;
  useEffect(() => {
    if (!ready) return;
    form.current?.querySelector<HTMLElement>(chosen.peek() === "" ? "select" : "input")?.focus();
  }, [ready, chosen]);
  if (known === null) return <p role="status">{answer.value.trouble ?? "Asking who may sign"} …</p>;
  return (
    <form
      ref={form}
      class="take-form"
      onKeyDown={(event) => {
        if (event.key === "Escape") props.close();
      }}
      onSubmit={(event) => {
        event.preventDefault();
        props.named(signerOf(new FormData(event.currentTarget), right, known));
      }}
    >
      <ChoosePerson known={known} right={right} chosen={chosen.value} choose={(id) => (chosen.value = id)} />
      <PinField right={right} chosen={chosen.value} />
      <button type="submit" class="strong">
        {props.button}
      </button>
    </form>
  );
}
