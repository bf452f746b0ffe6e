import { useSignal } from "@preact/signals";
import type { JSX } from "preact";
import { roleNames } from "../../../api/contract/access.ts";
import type { WireAccount } from "../../../api/contract/people-wire.ts";
import { ask } from "../../client/ask.ts";
import { paths } from "../../client/paths.ts";
import { may, session } from "../../client/session.ts";
import { Trouble } from "../shell/trouble.tsx";
import { useAnswer } from "../shell/use-answer.ts";
import { WaitingFor } from "../shell/waiting-for.tsx";
import { AreasField, NameField, ReasonField, RoleField, ticked, typedIn } from "./form-parts.tsx";
import { KeysPart } from "./keys-part.tsx";
import { RefusedControl } from "./refused-control.tsx";
import { useSending } from "./use-sending.ts";

/** Accounts and keys, for the administrator alone. */
export function PeoplePage(): JSX.Element {
  const allowed = may("manage-people");
  const { answer, again } = useAnswer<{ readonly items: readonly WireAccount[] }>(allowed ? paths.accounts : null);
  if (!allowed) {
    return (
      <section class="note">
        <h1>People and keys</h1>
        <RefusedControl right="manage-people" words="Open it" />
      </section>
    );
  }
  const { value, trouble, refused } = answer.value;
  if (value === null) {
    if (trouble !== null) return <Trouble what="No list of accounts" why={trouble} refused={refused} />;
    return <WaitingFor what="People and keys" />;
  }
  return (
    <article class="people-page">
      <h1>People and keys</h1>
      <section aria-labelledby="accounts">
        <h2 id="accounts">Accounts</h2>
        <ul class="accounts">
          {value.items.map((account) => (
            <AccountRow key={account.id} account={account} changed={again} />
          ))}
        </ul>
        <AddAccount added={again} />
      </section>
      <KeysPart />
    </article>
  );
}

function AccountRow({
  account,
  changed,
}: {
  readonly account: WireAccount;
  readonly changed: () => void;
}): JSX.Element {
  const open = useSignal(false);
  const link = useSignal<string | null>(null);
  const sending = useSending();
  const closed = account.closedAt !== null;
  const own = account.id === session.value?.person?.id;
  const act = (form: HTMLFormElement, what: string): void => {
    const text = typedIn(form);
    const reason = text("reason");
    void sending.send(async () => {
      if (what === "link") {
        const made = await ask<{ readonly path: string; readonly until: string }>(paths.account(account.id, "/link"), {
          reason,
        });
        link.value = `${location.origin}${made.path}`;
        changed();
        return "Made. It works once, for three days. Hand it to its person alone.";
      }
      if (what === "out") await ask<WireAccount>(paths.account(account.id, "/end-sessions"), { reason });
      else {
        const named = { name: text("name"), role: text("role"), areas: ticked(form) };
        const change = what === "close" ? { closed: !closed } : named;
        await ask<WireAccount>(paths.account(account.id), { ...change, reason });
      }
      changed();
      return "Done, and in the Change Record.";
    });
  };
  return (
    <li data-account={account.id} data-closed={closed}>
      <p>
        <b>{account.name}</b> <span class="light">{account.id}</span>, {roleNames[account.role]}
        {account.areas.length === 0 ? "" : `, ${account.areas.join(", ")}`}
        {closed ? ", closed" : ""}.{" "}
        <span class="light">
          {account.hasPassword ? "password" : "no password yet"}, {account.hasPin ? "PIN" : "no PIN"},{" "}
          {signedIn(account.sessions)}
        </span>{" "}
        <button type="button" class="plain small" aria-expanded={open.value} onClick={() => (open.value = !open.value)}>
          Change<span class="unseen"> {account.name}</span> …
        </button>
      </p>
      {open.value ? (
        <form
          class="account-form"
          onSubmit={(event) => {
            event.preventDefault();
            const { submitter } = event as SubmitEvent;
            act(event.currentTarget, submitter?.getAttribute("value") ?? "change");
          }}
        >
          <NameField name={account.name} />
          <RoleField chosen={account.role} />
          <AreasField chosen={account.areas} />
          <ReasonField />
          <div class="buttons">
            <button type="submit" class="strong" value="change">
              Change
            </button>
            {closed ? null : (
              <button type="submit" class="plain" value="link">
                One-time link
              </button>
            )}
            <button type="submit" class="plain" value="out">
              Sign out everywhere
            </button>
            {own ? null : (
              <button type="submit" class="plain" value="close">
                {closed ? "Open again" : "Close"}
              </button>
            )}
          </div>
        </form>
      ) : null}
      {link.value === null ? null : (
        <p>
          <code data-link>{link.value}</code>
        </p>
      )}
      <p class="said" role="status">
        {sending.said}
      </p>
    </li>
  );
}

function signedIn(sessions: number): string {
  if (sessions === 0) return "signed in nowhere";
  return sessions === 1 ? "signed in once" : `signed in ${sessions} times`;
}

function AddAccount({ added }: { readonly added: () => void }): JSX.Element {
  const sending = useSending();
  return (
    <form
      class="account-form"
      aria-labelledby="add-account"
      onSubmit={(event) => {
        event.preventDefault();
        const form = event.currentTarget;
        const text = typedIn(form);
        void sending.send(async () => {
          const named = { id: text("id"), name: text("name"), role: text("role") };
          const body = { ...named, areas: ticked(form), reason: text("reason") };
          await ask<WireAccount>(paths.accounts, body);
          form.reset();
          added();
          return `${body.name} has an account. A one-time link lets them choose a password.`;
        });
      }}
    >
      <h3 id="add-account" class="wide">
        Add an account
      </h3>
      <label>
        Account, in small letters
        <input name="id" required maxLength={40} pattern="[a-z][a-z0-9\-]+" autocomplete="off" autocapitalize="none" />
      </label>
      <NameField />
      <RoleField />
      <AreasField />
      <ReasonField />
      <div class="buttons">
        <button type="submit" class="strong">
          Add
        </button>
      </div>
      <p class="said wide" role="status">
        {sending.said}
      </p>
    </form>
  );
}
