import type { JSX } from "preact";
import { roleNames } from "../../../api/contract/access.ts";
import { type Role, roles } from "../../../spc/model/role.ts";
import { picture } from "../../client/picture-store.ts";

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

/** Which of the areas are ticked. */
export function ticked(form: HTMLFormElement): readonly string[] {
  return new FormData(form).getAll("areas").map(String);
}

/** Stages and stations that somebody answers for. What was chosen once stays in the list, that nothing is lost unseen. */
export function AreasField({ chosen = [] }: { readonly chosen?: readonly string[] }): JSX.Element {
  const floor = picture.value?.floor;
  const known = [...(floor?.stages ?? []), ...(floor?.stations.map(({ id }) => id) ?? [])];
  const gone = chosen.filter((area) => !known.includes(area));
  return (
    <details class="wide areas">
      <summary>Area: {chosen.length === 0 ? "the whole plant" : chosen.join(", ")}</summary>
      <p class="light">
        Stages and stations that this person answers for; none is the whole plant. A shift lead reads the Change Record
        of them, and their own rows.
      </p>
      <div class="area-choices">
        {[...known, ...gone].map((area) => (
          <label key={area} class="check">
            <input type="checkbox" name="areas" value={area} defaultChecked={chosen.includes(area)} />
            <span>
              {area}
              {floor !== undefined && gone.includes(area) ? " (no longer in the settings)" : ""}
            </span>
          </label>
        ))}
      </div>
    </details>
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
