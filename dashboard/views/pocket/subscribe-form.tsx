import type { JSX } from "preact";
import { useState } from "preact/hooks";
import type { WireMessageSetUp } from "../../../api/contract/message-wire.ts";
import { session } from "../../client/session.ts";
import type { Reason } from "../../pocket/set-up-reason.ts";
import { subscribeThis } from "../../pocket/subscribe.ts";
import { RefusedControl } from "../people/refused-control.tsx";

interface Props {
  readonly about: WireMessageSetUp;
  readonly onResult: (reason: Reason | null) => void;
}

export function SubscribeForm({ about, onResult }: Props): JSX.Element {
  const [busy, setBusy] = useState(false);
  const [refused, setRefused] = useState<string | null>(null);
  const { kind, person: signedIn } = session.value ?? {};
  const ownId = kind === "person" ? signedIn?.id : undefined;
  const persons = about.persons.filter(({ id, hasPin }) => hasPin || id === ownId);
  const [picked, choose] = useState<string | null>(null);
  const chosen = picked ?? ownId ?? persons[0]?.id ?? "";
  const person = persons.find(({ id }) => id === chosen);

  const send = async (form: HTMLFormElement): Promise<void> => {
    const text = (name: string): string => String(new FormData(form).get(name) ?? "").trim();
    if (person === undefined || about.publicKey === null) return;
    setBusy(true);
    setRefused(null);
    try {
      const { id, name: personName } = person;
      const asked = { person: id, personName, pin: text("pin"), name: text("name"), publicKey: about.publicKey };
      onResult(await subscribeThis(asked));
      form.reset();
    } catch (error) {
      setRefused(error instanceof Error ? error.message : String(error));
    } finally {
      setBusy(false);
    }
  };

  if (kind !== "person" && kind !== "terminal" && kind !== "phone") {
    return <RefusedControl right="own-phone" words="Send messages to this phone" strong />;
  }
  return (
    <form
      class="subscribe"
      onSubmit={(event) => {
        event.preventDefault();
        void send(event.currentTarget);
      }}
    >
      <label>
        <span>Who you are</span>
        <select name="person" value={chosen} onChange={(event) => choose(event.currentTarget.value)}>
          {persons.map(({ id, name }) => (
            <option key={id} value={id}>
              {name}
            </option>
          ))}
        </select>
      </label>
      {chosen === ownId ? null : (
        <label>
          <span>Your PIN</span>
          <input name="pin" type="password" inputMode="numeric" required autocomplete="off" pattern="[0-9]{4,12}" />
        </label>
      )}
      <label>
        <span>What you call this phone</span>
        <input name="name" required maxLength={40} defaultValue="Phone" autocomplete="off" />
      </label>
      {person === undefined ? null : <p class="light">{whatComes(person)}</p>}
      <button type="submit" class="strong" disabled={busy}>
        {busy ? "Asking the push service, 10 s at most…" : "Send messages to this phone"}
      </button>
      {refused === null ? null : (
        <p role="alert" class="reason" data-reason="refused">
          <b>Not set up: {refused}</b>
        </p>
      )}
    </form>
  );
}

const labels: Readonly<Record<string, string>> = {
  "act-now": "Act now",
  look: "Look this shift",
  "for-review": "For review",
  "instrument-fault": "Instrument fault",
};

function whatComes({ labels: wanted, hours, after }: WireMessageSetUp["persons"][number]): string {
  if (wanted.length === 0) return "The settings name no labels for you: no message will come.";
  const when = hours === "always" ? "at all hours" : `from ${hours.replace("-", " to ")}`;
  const untaken = after === null ? "" : `, once nobody has taken it for ${after}`;
  return `You get ${wanted.map((label) => labels[label] ?? label).join(", ")}, ${when}${untaken}, as the settings say.`;
}
