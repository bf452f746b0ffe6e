import type { JSX } from "preact";
import { roleNames } from "../../../api/contract/access.ts";
import { type Role, roles } from "../../../spc/model/role.ts";

/** What was typed into a form's fields, by their names. */
export function typedIn(form: HTMLFormElement): (name: string) => string {
  const given = new FormData(form);
  return (name) => String(given.get(name) ?? "").trim();
}

/** What the Change Record keeps beside each change of accounts and keys. */
export function ReasonField({ wide = true }: { readonly wide?: boolean }): JSX.Element {
  return (
    <label class={wide ? "wide" : undefined}>
      Reason
      <input name="reason" required minLength={3} maxLength={500} autocomplete="off" />
    </label>
  );
}

export function NameField({ name }: { readonly name?: string }): JSX.Element {
  return (
    <label>
      Name
      <input name="name" required maxLength={60} defaultValue={name} autocomplete="off" />
    </label>
  );
}

export function RoleField({ chosen }: { readonly chosen?: Role }): JSX.Element {
  return (
    <label>
      Role
      <select name="role">
        {roles.map((role) => (
          <option key={role} value={role} selected={role === chosen}>
            {roleNames[role]}
          </option>
        ))}
      </select>
    </label>
  );
}
