import type { JSX } from "preact";
import { roleNames } from "../../../api/contract/access.ts";
import type { WireSession } from "../../../api/contract/people-wire.ts";
import { ask } from "../../client/ask.ts";
import { paths } from "../../client/paths.ts";
import { begin, session } from "../../client/session.ts";
import { signInHere } from "./refused-control.tsx";
import { useSending } from "./use-sending.ts";

/** One's own account: password, PIN, and out everywhere. */
export function AccountPage(): JSX.Element {
  const secrets = useSending();
  const out = useSending();
  const { kind, person } = session.value ?? {};
  if (kind !== "person" || person == null) {
    return (
      <section class="sign-in">
        <h1>Your account</h1>
        <p>
          {kind === "terminal"
            ? "This is a shared terminal. Password and PIN are changed where one is signed in oneself. "
            : "Nobody is signed in here. "}
          <a href={signInHere()}>Sign in</a>
        </p>
      </section>
    );
  }
  return (
    <section class="sign-in">
      <h1>{person.name}</h1>
      <p>
        Account {person.id}, {roleNames[person.role]}. {person.hasPin ? "You have a PIN." : "You have no PIN yet."}
      </p>
      <form
        onSubmit={(event) => {
          event.preventDefault();
          const form = event.currentTarget;
          const given = new FormData(form);
          const text = (name: string): string => String(given.get(name) ?? "");
          const [newPassword, newPin] = [text("newPassword"), text("newPin")];
          void secrets.send(async () => {
            if (newPassword !== text("again")) return "Not done: the two new passwords differ.";
            session.value = await ask<WireSession>(paths.secrets, {
              password: text("password"),
              ...(newPassword === "" ? {} : { newPassword }),
              ...(newPin === "" ? {} : { newPin }),
            });
            form.reset();
            return "Changed. You are signed in here alone.";
          });
        }}
      >
        <label>
          Password you have
          <input name="password" type="password" required maxLength={512} autocomplete="current-password" />
        </label>
        <label>
          New password, 12 characters or more
          <input name="newPassword" type="password" maxLength={512} autocomplete="new-password" />
        </label>
        <label>
          New password again
          <input name="again" type="password" maxLength={512} autocomplete="new-password" />
        </label>
        <label>
          New PIN, 4 to 12 digits
          <input name="newPin" type="password" inputMode="numeric" maxLength={12} autocomplete="off" />
        </label>
        <button type="submit" class="strong" aria-disabled={secrets.busy}>
          {secrets.busy ? "sending …" : "Change"}
        </button>
        <p class="said" role="alert">
          {secrets.said}
        </p>
      </form>
      <div class="buttons">
        <button
          type="button"
          class="plain"
          onClick={() =>
            void out.send(async () => {
              await ask<WireSession>(paths.signOutEverywhere, {});
              begin("/");
              return "";
            })
          }
        >
          Sign out everywhere
        </button>
        <span class="light">Here, on every other browser, and at terminals you signed in.</span>
      </div>
      <p class="said" role="alert">
        {out.said}
      </p>
    </section>
  );
}
