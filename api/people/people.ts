import type { Account, PeopleBook } from "../../collector/store/people-book.ts";
import type { Role } from "../../spc/model/role.ts";
import { isPin } from "./pin.ts";
import { secretMatches } from "./secrets.ts";
import { tries } from "./tries.ts";

/** Somebody with an open account, as pages may know them: never a hash. */
export interface Person {
  readonly id: string;
  readonly name: string;
  readonly role: Role;
  /** Without a PIN a person can decide nothing at a shared terminal. */
  readonly hasPin: boolean;
}

export type PinAnswer =
  | { readonly ok: true; readonly person: Person }
  | { readonly ok: false; readonly why: "unknown-person" | "no-pin" | "wrong-pin" }
  | { readonly ok: false; readonly why: "too-many-tries"; readonly againMs: number };

export interface People {
  list(): readonly Person[];
  /** Whether it is that person; after five wrong PINs each further try waits, at first for a minute. */
  check(id: string, pin: string, nowMs: number): Promise<PinAnswer>;
}

export function people(book: Pick<PeopleBook, "accounts" | "account">): People {
  const wrong = tries({ most: 5, withinMs: 5 * 60_000, pauseMs: 60_000, longestMs: 3_600_000 });

  return {
    list: () =>
      book
        .accounts()
        .filter(({ offMs }) => offMs === null)
        .map(personOf),
    check: async (id, pin, nowMs) => {
      const account = book.account(id);
      if (account === undefined || account.offMs !== null) return { ok: false, why: "unknown-person" };
      if (account.pin === null) return { ok: false, why: "no-pin" };
      const againMs = wrong.begin(id, nowMs);
      if (againMs !== null) return { ok: false, why: "too-many-tries", againMs };
      if (!isPin(pin) || !(await secretMatches(account.pin, pin))) return { ok: false, why: "wrong-pin" };
      wrong.passed(id);
      return { ok: true, person: personOf(account) };
    },
  };
}

export function personOf({ id, name, role, pin }: Account): Person {
  return { id, name, role, hasPin: pin !== null };
}
