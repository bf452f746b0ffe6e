import { useSignal } from "@preact/signals";
import type { JSX } from "preact";
import type { WireSession } from "../../../api/contract/people-wire.ts";
import { ask } from "../../client/ask.ts";
import { paths } from "../../client/paths.ts";
import { begin, session } from "../../client/session.ts";
import { ownPath } from "../../model/own-path.ts";
import { useSending } from "./use-sending.ts";

/** Account and password. What went wrong is said here, and the account that was typed stays. */
export function SignInPage({ search }: { readonly search: string }): JSX.Element {
  const sending = useSending();
  const shared = useSignal(false);
  const to = ownPath(new URLSearchParams(search).get("to"), location.origin);
  const closed = session.value?.rights.includes("read") === false;
  return (
    <section class="sign-in">
      <h1>Sign in</h1>
      {closed ? <p>Nothing is shown here to those who are not signed in.</p> : null}
      {session.value?.ready === false ? (
        <p role="status">
          There is no administrator yet. The product printed a one-time link when it started: open that first.
        </p>
      ) : null}
      <form
        onSubmit={(event) => {
          event.preventDefault();
          const form = event.currentTarget;
          const given = new FormData(form);
          const body = {
            account: String(given.get("account") ?? ""),
            password: String(given.get("password") ?? ""),
            shared: shared.value,
          };
          void sending.send(async () => {
            try {
              await ask<WireSession>(paths.session, body);
              begin(to);
              return "";
            } finally {
              const field = form.elements.namedItem("password");
              if (field instanceof HTMLInputElement) {
                field.value = "";
                field.focus();
              }
            }
          });
        }}
      >
        <label>
          Account
          <input
            name="account"
            required
            maxLength={60}
            autocomplete="username"
            autocapitalize="none"
            spellcheck={false}
          />
        </label>
        <label>
          Password
          <input name="password" type="password" required maxLength={512} autocomplete="current-password" />
        </label>
        <label class="check">
          <input
            type="checkbox"
            checked={shared.value}
            onChange={(event) => (shared.value = event.currentTarget.checked)}
          />
          A terminal that a shift shares: it stays signed in, and whoever decides gives a PIN
        </label>
        <button type="submit" class="strong" aria-disabled={sending.busy}>
          {sending.busy ? "signing in …" : "Sign in"}
        </button>
        <p class="said" role="alert">
          {sending.said}
        </p>
      </form>
    </section>
  );
}
