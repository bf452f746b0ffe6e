import { useSignal } from "@preact/signals";
import type { JSX } from "preact";
import { useEffect, useState } from "preact/hooks";
import type { WireSession } from "../../../api/contract/people-wire.ts";
import { ask, Refused } from "../../client/ask.ts";
import { paths } from "../../client/paths.ts";
import { begin } from "../../client/session.ts";
import { useSending } from "./use-sending.ts";

/** Where a one-time link leads: its person chooses a password, and a PIN for shared terminals. */
export function WelcomePage(): JSX.Element {
  const [token] = useState(takeToken);
  const sending = useSending();
  const gone = useSignal<string | null>(null);
  const first = token.startsWith("first.");
  const secret = first ? token.slice("first.".length) : token;
  useEffect(() => {
    if (secret === "") return;
    // Whose link opens nothing is told so before they think of a password; without an answer the form says it at its end.
    ask(paths.lookAtLink, { token: secret }).catch((cause: unknown) => {
      if (cause instanceof Refused) gone.value = cause.problem.detail;
    });
  }, [secret, gone]);
  if (token === "") {
    return (
      <section class="sign-in">
        <h1>No link</h1>
        <p>This page is opened by a one-time link, whole as it was given. Ask an administrator for one.</p>
      </section>
    );
  }
  if (gone.value !== null) {
    return (
      <section class="sign-in">
        <h1>Not open</h1>
        <p role="alert">Nothing can be chosen here: {gone.value}. Ask an administrator for another one.</p>
      </section>
    );
  }
  return (
    <section class="sign-in">
      <h1>{first ? "First administrator" : "Choose a password"}</h1>
      {first ? <p>An administrator gives out accounts and keys, and agrees to no limits.</p> : null}
      <form
        onSubmit={(event) => {
          event.preventDefault();
          const given = new FormData(event.currentTarget);
          const text = (name: string): string => String(given.get(name) ?? "");
          const pin = text("pin");
          const body = {
            token: secret,
            password: text("password"),
            ...(pin === "" ? {} : { pin }),
            ...(first ? { id: text("id").trim(), name: text("name").trim() } : {}),
          };
          void sending.send(async () => {
            if (text("password") !== text("again")) return "Not done: the two passwords differ.";
            await ask<WireSession>(paths.welcome, body);
            begin("/");
            return "";
          });
        }}
      >
        {first ? (
          <>
            <label>
              Account, in small letters
              <input
                name="id"
                required
                maxLength={40}
                pattern="[a-z][a-z0-9\-]+"
                autocomplete="username"
                autocapitalize="none"
              />
            </label>
            <label>
              Name, as it stands beside what you decide
              <input name="name" required maxLength={60} autocomplete="off" />
            </label>
          </>
        ) : null}
        <label>
          Password, 12 characters or more
          <input name="password" type="password" required maxLength={512} autocomplete="new-password" />
        </label>
        <label>
          The same password again
          <input name="again" type="password" required maxLength={512} autocomplete="new-password" />
        </label>
        <label>
          PIN for shared terminals, 4 to 12 digits (may wait)
          <input name="pin" type="password" inputMode="numeric" maxLength={12} autocomplete="off" />
        </label>
        <button type="submit" class="strong" aria-disabled={sending.busy}>
          {sending.busy ? "sending …" : "Choose it"}
        </button>
        <p class="said" role="alert">
          {sending.said}
        </p>
      </form>
    </section>
  );
}

/** Read once, and taken out of the address bar and the history. */
function takeToken(): string {
  const token = location.hash.slice(1);
  if (token !== "") history.replaceState(null, "", location.pathname);
  return token;
}
