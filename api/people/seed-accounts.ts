import type { PersonSettings } from "../../collector/platform/settings/people-schema.ts";
import type { Actor } from "../../collector/store/change-record.ts";
import type { JournalFile } from "../../collector/store/embedded/embedded-journal.ts";

/** Whoever can write the settings file, or the data folder, of this host. */
export function hostActor(device: string): Actor {
  return { id: "host", name: "somebody on this host", role: "host", device };
}

/**
 * Gives persons of the settings that have none an account, with name, role and PIN as they stand there. What is changed later is
 * changed in the store, and the settings change it no more; they go on saying who gets which messages when.
 */
export function seedAccounts(
  { journal, people, record }: JournalFile,
  persons: readonly PersonSettings[],
  nowMs: number,
): void {
  journal.transaction(() => {
    for (const [nth, { id, name, role, pin }] of persons.entries()) {
      if (people.account(id) !== undefined) continue;
      const taken = people.accounts().some((one) => one.name === name);
      const called = taken ? `${name} (${id})` : name;
      // Listed in the order of the settings, which is that of the plant.
      const madeMs = nowMs + nth;
      people.putAccount({ id, name: called, role, password: null, pin: pin ?? null, areas: [], madeMs, offMs: null });
      const made = { name: called, role, pin: pin === undefined ? null : "set" };
      const by = hostActor("settings file");
      record.append({ kind: "account-made", subject: id, old: null, new: made, reason: "persons of the settings", by });
    }
  });
}
