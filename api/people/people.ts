import type { PersonSettings } from "../../collector/platform/settings/people-schema.ts";
import { isPin, pinMatches } from "./pin.ts";

/** Somebody of the settings, as pages may know them: never the PIN. */
export interface Person {
  readonly id: string;
  readonly name: string;
  /** Without a PIN a person can be sent messages, and decide nothing that needs one. */
  readonly hasPin: boolean;
}

export type PinAnswer =
  | { readonly ok: true; readonly person: Person }
  | { readonly ok: false; readonly why: "unknown-person" | "no-pin" | "wrong-pin" }
  | { readonly ok: false; readonly why: "too-many-tries"; readonly againMs: number };

export interface People {
  list(): readonly Person[];
  /** Whether it is that person; after five wrong PINs nobody is asked again for a minute. */
  check(id: string, pin: string, nowMs: number): Promise<PinAnswer>;
}

const MOST_TRIES = 5;
const TRIES_WITHIN_MS = 5 * 60_000;
const PAUSE_MS = 60_000;

export function people(settings: readonly PersonSettings[]): People {
  const wrong = new Map<string, number[]>();
  const shown = ({ id, name, pin }: PersonSettings): Person => ({ id, name, hasPin: pin !== undefined });

  return {
    list: () => settings.map(shown),
    check: async (id, pin, nowMs) => {
      const person = settings.find((one) => one.id === id);
      if (person === undefined) return { ok: false, why: "unknown-person" };
      if (person.pin === undefined) return { ok: false, why: "no-pin" };
      const tries = (wrong.get(id) ?? []).filter((atMs) => nowMs - atMs < TRIES_WITHIN_MS);
      const againMs = (tries.at(-1) ?? 0) + PAUSE_MS;
      if (tries.length >= MOST_TRIES && nowMs < againMs) return { ok: false, why: "too-many-tries", againMs };
      // Counted before it is looked at, so that many at once are not all let through.
      wrong.set(id, [...tries, nowMs]);
      if (!isPin(pin) || !(await pinMatches(person.pin, pin))) return { ok: false, why: "wrong-pin" };
      wrong.delete(id);
      return { ok: true, person: shown(person) };
    },
  };
}
