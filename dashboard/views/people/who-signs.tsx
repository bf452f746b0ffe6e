import type { JSX } from "preact";
import type { Right } from "../../../api/contract/access.ts";
import { rightsOf } from "../../../api/contract/access.ts";
import type { WirePeople } from "../../../api/contract/bench-wire.ts";
import type { Signer } from "../../client/actions.ts";
import { person, remember } from "../../client/person.ts";
import { session } from "../../client/session.ts";

type Known = WirePeople["items"];

/** Who the session says it is, where that person may do it without a PIN. */
export function ownName(right: Right): { readonly id: string; readonly name: string } | null {
  const { kind, person: own, rights } = session.value ?? {};
  return kind === "person" && own != null && rights?.includes(right) === true ? own : null;
}

/** Whether somebody else than the session's own person was chosen, and so a PIN is needed. */
function needsPin(chosen: string, right: Right): boolean {
  return chosen !== ownName(right)?.id;
}

/** The body of a decision: nothing where the session says who it is, else the person and their PIN. */
export function signatureOf(given: FormData, right: Right): { readonly by?: string; readonly pin?: string } {
  const by = String(given.get("by") ?? "");
  return needsPin(by, right) ? { by, pin: String(given.get("pin") ?? "") } : {};
}

/** Who acts on a flag, by name for the moment that it takes; whoever gave a PIN is offered first the next time. */
export function signerOf(given: FormData, right: Right, known: Known): Signer {
  const by = String(given.get("by") ?? "");
  const signature = signatureOf(given, right);
  if (signature.by !== undefined) remember(signature.by);
  return { name: known.find(({ id }) => id === by)?.name ?? ownName(right)?.name ?? by, signature };
}

export function firstChosen(right: Right): string {
  return ownName(right)?.id ?? person.value;
}

/** Who decides: offered first is whoever is signed in, or signed last at this terminal. */
export function ChoosePerson(props: {
  readonly known: Known;
  readonly right: Right;
  readonly chosen: string;
  readonly choose: (id: string) => void;
}): JSX.Element {
  const { known, right, chosen, choose } = props;
  const own = ownName(right)?.id;
  return (
    <label>
      Person
      <select name="by" required value={chosen} onChange={(event) => choose(event.currentTarget.value)}>
        <option value="" disabled selected={!known.some(({ id }) => id === chosen)}>
          Choose who you are
        </option>
        {known.map(({ id, name, role, hasPin }) => {
          const may = rightsOf[role].includes(right);
          const after = id === own ? " (you)" : !may ? " (may not)" : hasPin ? "" : " (no PIN yet)";
          return (
            <option key={id} value={id} selected={id === chosen} disabled={!may}>
              {`${name}${after}`}
            </option>
          );
        })}
      </select>
    </label>
  );
}

/** At one's own browser there is none, until somebody else is chosen. */
export function PinField({ right, chosen }: { readonly right: Right; readonly chosen: string }): JSX.Element | null {
  if (!needsPin(chosen, right)) return null;
  return (
    <label>
      PIN
      <input name="pin" type="password" inputMode="numeric" autocomplete="off" required maxLength={12} />
    </label>
  );
}
