import type { ChangeKind } from "../../api/contract/people-wire.ts";

const names: Readonly<Record<ChangeKind, string>> = {
  "flag-taken": "took a flag",
  "flag-done": "closed a flag",
  "values-written": "wrote values down",
  "values-corrected": "corrected values",
  "recompute-asked": "had runs reckoned anew",
  "set-up-said": "said what is set up",
  "set-up-corrected": "corrected what is set up",
  "limits-proposed": "proposed limits",
  "limits-agreed": "agreed to limits",
  "limits-withdrawn": "withdrew a proposal",
  "limits-set": "set limits by command",
  "runs-imported": "imported runs",
  "settings-changed": "changed the settings file",
  "account-made": "made an account",
  "account-changed": "changed an account",
  "password-set": "set a password",
  "pin-set": "set a PIN",
  "link-made": "made a one-time link",
  "terminal-opened": "signed a shared terminal in",
  "signed-out-everywhere": "signed out everywhere",
  "key-made": "made a key",
  "key-revoked": "revoked a key",
  "phone-added": "added a phone",
  "phone-removed": "removed a phone",
};

export function kindName(kind: string): string {
  return names[kind as ChangeKind] ?? kind;
}

const MOST = 400;

/** A value of the record in one line: `cause: trap; note: valve cleaned`. */
export function valueText(value: unknown): string {
  const text = plain(value);
  return text.length <= MOST ? text : `${text.slice(0, MOST)} …`;
}

function plain(value: unknown): string {
  if (value === null || value === undefined) return "";
  if (Array.isArray(value)) return value.map(plain).join(", ");
  if (typeof value !== "object") return String(value);
  return Object.entries(value)
    .filter(([, one]) => one !== null && one !== "" && !(Array.isArray(one) && one.length === 0))
    .map(([name, one]) => `${name}: ${typeof one === "object" ? `(${plain(one)})` : plain(one)}`)
    .join("; ");
}
