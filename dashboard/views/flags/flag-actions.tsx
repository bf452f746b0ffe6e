import { useSignal } from "@preact/signals";
import type { JSX } from "preact";
import type { WireFlag } from "../../../api/contract/wire.ts";
import { actions, take } from "../../client/actions.ts";
import { mayTry } from "../../client/session.ts";
import { RefusedControl } from "../people/refused-control.tsx";
import { ownName } from "../people/who-signs.tsx";
import { NameForm } from "./name-form.tsx";

const right = "handle-flags";

/** The one button of a waiting flag. It takes at once for whoever is signed in, and at a shared terminal asks for a PIN first. */
export function TakeIt({ flag }: { readonly flag: WireFlag }): JSX.Element | null {
  const asking = useSignal(false);
  const own = ownName(right);
  const action = actions.value.get(flag.id);
  if (flag.state !== "waiting") return null;
  if (action?.step === "sending") {
    return (
      <p class="sending" role="status">
        <b>{action.by}</b> sending …
      </p>
    );
  }
  const label = `Take it: ${flag.station} ${flag.says}`;
  if (!mayTry(right)) return <RefusedControl right={right} words="Take it" label={label} strong />;
  if (asking.value) {
    return (
      <NameForm
        button="Take it"
        close={() => (asking.value = false)}
        named={(signer) => {
          asking.value = false;
          take(flag.id, signer);
        }}
      />
    );
  }
  return (
    <button
      type="button"
      class="strong"
      aria-label={label}
      onClick={() => {
        if (own === null) asking.value = true;
        else take(flag.id, { name: own.name, signature: {} });
      }}
    >
      Take it
    </button>
  );
}
