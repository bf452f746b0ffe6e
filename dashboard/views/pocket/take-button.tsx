import type { JSX } from "preact";
import { mayTry, session } from "../../client/session.ts";
import { own, takeIt } from "../../pocket/pocket-state.ts";
import { RefusedControl } from "../people/refused-control.tsx";

/** The one button, for whoever the phone was set up for, or is signed in on it. */
export function TakeButton({ flag, what }: { readonly flag: string; readonly what: string }): JSX.Element {
  const label = `Take it: ${what}`;
  const { kind, person } = session.value ?? {};
  const signedIn = kind === "person" && mayTry("handle-flags") ? person?.name : undefined;
  const by = own.value?.device?.personName ?? signedIn;
  if (by === undefined) return <RefusedControl right="handle-flags" words="Take it" label={label} strong />;
  return (
    <button type="button" class="strong" aria-label={label} onClick={() => void takeIt(flag, by)}>
      Take it
    </button>
  );
}
