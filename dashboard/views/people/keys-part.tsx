import { useSignal } from "@preact/signals";
import type { JSX } from "preact";
import { displayPages, rights, scopes } from "../../../api/contract/access.ts";
import type { WireAccessKey } from "../../../api/contract/people-wire.ts";
import { ask } from "../../client/ask.ts";
import { paths } from "../../client/paths.ts";
import { useAnswer } from "../shell/use-answer.ts";
import { NameField, ReasonField, typedIn } from "./form-parts.tsx";
import { useSending } from "./use-sending.ts";

const pageNames: Readonly<Record<string, string>> = {
  "/": "Floor",
  "/flags": "Flags",
  "/bench": "Chart Bench",
  "/limits": "Limits Book",
  "/instruments": "Instruments",
};

/** Keys that no person holds: a wall's display shows one page for good, a program reads or hands in. */
export function KeysPart(): JSX.Element {
  const { answer, again } = useAnswer<{ readonly items: readonly WireAccessKey[] }>(paths.keys);
  const kind = useSignal<"display" | "token">("display");
  const secret = useSignal<string | null>(null);
  const adding = useSending();
  const revoking = useSending();
  const { value, trouble } = answer.value;
  const revoke = (form: HTMLFormElement, key: WireAccessKey): void => {
    const reason = typedIn(form)("reason");
    void revoking.send(async () => {
      await ask<WireAccessKey>(paths.revokeKey(key.id), { reason });
      again();
      return `${key.name} opens nothing any more.`;
    });
  };
  return (
    <section aria-labelledby="keys">
      <h2 id="keys">Displays and programs</h2>
      {trouble === null ? null : <p role="status">The keys were not read: {trouble}</p>}
      <ul class="accounts">
        {(value?.items ?? []).map((key) => (
          <li key={key.id} data-key={key.id} data-revoked={key.revokedAt !== null}>
            <p>
              <b>{key.name}</b>,{" "}
              {key.kind === "display"
                ? `display of ${pageNames[key.page ?? ""] ?? key.page}`
                : `program that may ${key.scopes.map((scope) => rights[scope]).join(", ")}`}
              {key.revokedAt === null ? "" : ", revoked"}.{" "}
              <span class="light">{key.usedAt === null ? "never used" : `used ${key.usedAt.slice(0, 10)}`}</span>
            </p>
            {key.revokedAt !== null ? null : (
              <form
                class="revoke-form"
                onSubmit={(event) => {
                  event.preventDefault();
                  revoke(event.currentTarget, key);
                }}
              >
                <ReasonField wide={false} />
                <button type="submit" class="plain small">
                  Revoke<span class="unseen"> {key.name}</span>
                </button>
              </form>
            )}
          </li>
        ))}
      </ul>
      <p class="said" role="status">
        {revoking.said}
      </p>
      <form
        class="account-form"
        aria-labelledby="add-key"
        onSubmit={(event) => {
          event.preventDefault();
          const form = event.currentTarget;
          const text = typedIn(form);
          const chosen = new FormData(form).getAll("scopes").map(String);
          const part = kind.value === "display" ? { page: text("page") } : { scopes: chosen };
          void adding.send(async () => {
            const made = await ask<{ readonly key: WireAccessKey; readonly secret: string }>(paths.keys, {
              ...{ kind: kind.value, name: text("name"), reason: text("reason") },
              ...part,
            });
            secret.value = made.key.kind === "display" ? `${location.origin}/display#${made.secret}` : made.secret;
            form.reset();
            again();
            return made.key.kind === "display"
              ? "Open this link once on the display. It is not shown again."
              : "Give this token to the program, in a file that nobody else reads. It is not shown again.";
          });
        }}
      >
        <h3 id="add-key" class="wide">
          Add a display or a program
        </h3>
        <label>
          For
          <select name="kind" onChange={(event) => (kind.value = event.currentTarget.value as "display" | "token")}>
            <option value="display">a display</option>
            <option value="token">a program</option>
          </select>
        </label>
        <NameField />
        {kind.value === "display" ? (
          <label>
            Page
            <select name="page">
              {Object.keys(displayPages).map((page) => (
                <option key={page} value={page}>
                  {pageNames[page] ?? page}
                </option>
              ))}
            </select>
          </label>
        ) : (
          <fieldset>
            <legend>It may</legend>
            {scopes.map((scope) => (
              <label key={scope} class="check">
                <input type="checkbox" name="scopes" value={scope} /> {rights[scope]}
              </label>
            ))}
          </fieldset>
        )}
        <ReasonField />
        <div class="buttons">
          <button type="submit" class="strong">
            Add
          </button>
        </div>
        {secret.value === null ? null : (
          <p class="wide">
            <code data-secret>{secret.value}</code>
          </p>
        )}
        <p class="said wide" role="status">
          {adding.said}
        </p>
      </form>
    </section>
  );
}
