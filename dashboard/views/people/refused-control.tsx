import type { JSX } from "preact";
import { useId } from "preact/hooks";
import type { Right } from "../../../api/contract/access.ts";
import { route } from "../../client/route.ts";
import { session, whyNot } from "../../client/session.ts";

/** A control that one may not use: it stands where it always stands, and says why and who can. */
export function RefusedControl(props: {
  readonly right: Right;
  readonly words: string;
  readonly label?: string;
  readonly strong?: boolean;
  /** The same reason is written beside it already: it is told to those who hear, and not written twice. */
  readonly saidBeside?: boolean;
}): JSX.Element {
  const id = useId();
  const signedOut = session.value?.kind === "nobody";
  return (
    <span class="refused-control" data-refused={props.right}>
      <button
        type="button"
        class={props.strong === true ? "strong" : "plain"}
        aria-disabled="true"
        aria-describedby={id}
        aria-label={props.label}
      >
        {props.words}
      </button>
      <span id={id} class={props.saidBeside === true ? "unseen" : "light"}>
        {whyNot(props.right)} {signedOut && props.saidBeside !== true ? <a href={signInHere()}>Sign in</a> : null}
      </span>
    </span>
  );
}

/** The sign-in page, which leads back to where one is. */
export function signInHere(): string {
  // Read so that it follows the page.
  void route.value;
  return `/sign-in?to=${encodeURIComponent(location.pathname + location.search)}`;
}
