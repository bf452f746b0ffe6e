import type { Response, Router } from "express";
import type { Actor } from "../../collector/store/change-record.ts";
import type { Account } from "../../collector/store/people-book.ts";
import { endpoints } from "../contract/endpoints.ts";
import type { WireAccount } from "../contract/people-wire.ts";
import type { ApiParts } from "../parts.ts";
import { callerOf, signInNeeded } from "../people/actor.ts";
import { areaMistakes } from "../people/areas.ts";
import { makeLink } from "../people/links.ts";
import { type Mistake, mistaken, Problem } from "../problem.ts";
import { serve } from "../serve.ts";

/** Who has an account, and what the administrator does to it. */
export function accountRoutes(router: Router, parts: ApiParts): void {
  const { site, clock, journal, access, messages } = parts;
  const { people: book, record, sessions } = access;
  const known = (id: string): Account => {
    const account = book.account(id);
    if (account === undefined) throw new Problem(404, "unknown-account", `no account is named ${id}`);
    return account;
  };
  const free = (id: string, name: string): void => {
    const taken = book.accounts().find((one) => one.id !== id && one.name === name);
    if (taken !== undefined) throw new Problem(409, "account-taken", `${taken.id} is called ${name} already`);
  };
  const inSettings = (areas: readonly string[]): readonly string[] => {
    const errors = areaMistakes(site, areas).map((one): Mistake => ({ ...one, place: `body/${one.place}` }));
    if (errors.length === 0) return [...new Set(areas)];
    throw mistaken(errors);
  };
  const shown = (account: Account): WireAccount => ({
    ...{ id: account.id, name: account.name, role: account.role, areas: [...account.areas] },
    ...{ hasPassword: account.password !== null, hasPin: account.pin !== null },
    madeAt: new Date(account.madeMs).toISOString(),
    closedAt: account.offMs === null ? null : new Date(account.offMs).toISOString(),
    sessions: book.sessionsOf(account.id).length,
  });

  serve(router, endpoints.accounts, () => ({ items: book.accounts().map(shown) }));

  serve(router, endpoints.addAccount, ({ body: { id, name, role, reason, ...body } }, response) => {
    const by = actor(response);
    const areas = inSettings(body.areas);
    const account = { id, name, role, password: null, pin: null, areas, madeMs: clock.nowMs(), offMs: null };
    journal.transaction(() => {
      if (book.account(id) !== undefined) throw new Problem(409, "account-taken", `there is an account ${id} already`);
      free(id, name);
      book.putAccount(account);
      record.append({ kind: "account-made", subject: id, old: null, new: { name, role, areas }, reason, by });
    });
    return shown(account);
  });

  serve(router, endpoints.changeAccount, ({ params: { id }, body: { reason, ...change } }, response) => {
    const by = actor(response);
    const areas = change.areas === undefined ? undefined : inSettings(change.areas);
    const next = journal.transaction(() => {
      const account = known(id);
      const { name = account.name, role = account.role, closed = account.offMs !== null } = change;
      free(id, name);
      const offMs = closed ? (account.offMs ?? clock.nowMs()) : null;
      const changed = { ...account, name, role, areas: areas ?? account.areas, offMs };
      const runs = (one: Account): boolean =>
        one.role === "administrator" && one.offMs === null && one.password !== null;
      if (runs(account) && !runs(changed) && !book.accounts().some((one) => one.id !== id && runs(one))) {
        throw new Problem(
          409,
          "last-administrator",
          "nobody else could manage accounts then: make another administrator first",
        );
      }
      book.putAccount(changed);
      // Another role, another person's rights: nobody goes on with what they were let in with.
      if (role !== account.role || closed) sessions.endAll(id);
      const part = (one: Account) => ({
        ...{ name: one.name, role: one.role, areas: one.areas },
        closed: one.offMs !== null,
      });
      record.append({ kind: "account-changed", subject: id, old: part(account), new: part(changed), reason, by });
      return changed;
    });
    if (next.offMs !== null) {
      for (const device of messages.book.devices()) {
        if (device.person === id && device.address !== null)
          messages.book.removeDevice(device.id, "person", next.offMs);
      }
    }
    access.ended(id);
    return shown(next);
  });

  serve(router, endpoints.accountLink, ({ params: { id }, body: { reason } }, response) => {
    const by = actor(response);
    const nowMs = clock.nowMs();
    const { path, untilMs } = journal.transaction(() => {
      if (known(id).offMs !== null)
        throw new Problem(409, "account-closed", `the account ${id} is closed: open it first`);
      const made = makeLink(book, id, nowMs);
      const until = new Date(made.untilMs).toISOString();
      record.append({ kind: "link-made", subject: id, old: null, new: { until }, reason, by });
      return made;
    });
    return { path, until: new Date(untilMs).toISOString() };
  });

  serve(router, endpoints.endAccountSessions, ({ params: { id }, body: { reason } }, response) => {
    const by = actor(response);
    const account = known(id);
    journal.transaction(() => {
      const ended = sessions.endAll(id);
      record.append({ kind: "signed-out-everywhere", subject: id, old: { ended }, new: null, reason, by });
    });
    access.ended(id);
    return shown(account);
  });
}

/** Whose session it is; the table has let only such through. */
export function actor(response: Response): Actor {
  const caller = callerOf(response);
  if (caller.person === null) throw signInNeeded(caller, null);
  const { id, name, role } = caller.person;
  return { id, name, role, device: caller.device };
}
