import type { Response, Router } from "express";
import type { Account } from "../../collector/store/people-book.ts";
import { rightsOf } from "../contract/access.ts";
import { endpoints } from "../contract/endpoints.ts";
import type { WireSession } from "../contract/people-wire.ts";
import type { ApiParts } from "../parts.ts";
import { callerOf, signInNeeded, tooManyTries } from "../people/actor.ts";
import { type Caller, sessionRights } from "../people/callers.ts";
import { setCookie } from "../people/cookies.ts";
import { passwordWords, whyWeak } from "../people/password.ts";
import { personOf } from "../people/people.ts";
import { isPin, pinWords } from "../people/pin.ts";
import { hashSecret, secretMatches, tokenHash } from "../people/secrets.ts";
import { endsMs } from "../people/sessions.ts";
import { subnetOf } from "../people/subnet.ts";
import { tries } from "../people/tries.ts";
import { type Mistake, mistaken, Problem } from "../problem.ts";
import { serve } from "../serve.ts";

const MINUTE_MS = 60_000;

/** How people come in and go out. */
export function sessionRoutes(router: Router, parts: ApiParts): void {
  const { clock, site, access } = parts;
  const { people: book, record, sessions } = access;
  // From one network to one account soon; to one account from everywhere, and from one network to all, later: so that
  // nobody is locked out by a stranger's guesses alone, and yet many networks do not help.
  const pair = tries({ most: 5, withinMs: 5 * MINUTE_MS, pauseMs: MINUTE_MS, longestMs: 60 * MINUTE_MS });
  const whole = tries({ most: 30, withinMs: 60 * MINUTE_MS, pauseMs: MINUTE_MS, longestMs: 10 * MINUTE_MS });
  const network = tries({ most: 60, withinMs: 10 * MINUTE_MS, pauseMs: MINUTE_MS, longestMs: 10 * MINUTE_MS });
  const tokens = tries({ most: 10, withinMs: 5 * MINUTE_MS, pauseMs: MINUTE_MS, longestMs: 10 * MINUTE_MS });

  const hold = (what: string, response: Response, ...asked: readonly (readonly [typeof pair, string])[]): void => {
    const nowMs = clock.nowMs();
    for (const [rule, key] of asked) {
      const againMs = rule.begin(key, nowMs);
      if (againMs !== null) throw tooManyTries(what, againMs, nowMs, response);
    }
  };
  const netOf = (response: Response): string => subnetOf(response.req.socket.remoteAddress);
  const begin = (account: Account, shared: boolean, response: Response): WireSession => {
    const nowMs = clock.nowMs();
    const before = callerOf(response);
    if (before.session !== null) sessions.end(before.session);
    const token = sessions.open(account, { shared, device: before.device }, nowMs);
    setCookie(response, "session", token);
    access.report("info", { account: account.id, network: netOf(response), shared }, "signed in");
    const { session } = sessions.find(token, nowMs) ?? {};
    if (session === undefined) throw new TypeError("a session that was opened a moment ago is not there");
    const [person, rights] = [personOf(account), sessionRights(account.role, shared)];
    return shown({ ...before, kind: shared ? "terminal" : "person", person, session, key: null, rights });
  };
  const shown = (caller: Caller): WireSession => {
    const { kind, person, session, rights, key } = caller;
    const endsAt = session === null ? null : new Date(endsMs(session)).toISOString();
    return {
      ...{ kind, endsAt, page: key?.page ?? null, rights: [...rights], ready: access.ready() },
      person: person === null ? null : { ...person, areas: [...(book.account(person.id)?.areas ?? [])] },
    };
  };
  const nobody = (response: Response): WireSession => {
    setCookie(response, "session", null);
    setCookie(response, "display", null);
    const { device } = callerOf(response);
    return shown({
      ...{ kind: "nobody", person: null, session: null, key: null, rights: access.open, stale: false, device },
    });
  };
  const about = (account: { readonly id: string; readonly name: string }): string[] => [
    ...[account.id, account.name, site.name],
    ...site.stations.map(({ id }) => id),
  ];

  serve(router, endpoints.session, (_input, response) => shown(callerOf(response)));

  serve(router, endpoints.signIn, async ({ body: { account: id, password, shared } }, response) => {
    const net = netOf(response);
    hold("wrong passwords", response, [network, net], [pair, `${id} ${net}`], [whole, id]);
    const account = book.account(id);
    const open = account !== undefined && account.offMs === null;
    const right = await secretMatches(open ? account.password : null, password);
    if (!right || !open) {
      // What is no account is not repeated: people type their password into the wrong field.
      access.report("warn", { account: open ? id : "not known", network: net }, "a sign-in was refused");
      throw new Problem(401, "wrong-sign-in", "account and password do not go together");
    }
    pair.passed(`${id} ${net}`);
    whole.passed(id);
    network.passed(net);
    if (!shared) return begin(account, false, response);
    if (!rightsOf[account.role].includes("open-terminal")) {
      throw new Problem(403, "not-allowed", `${account.name} may not sign a shared terminal in`);
    }
    const { device } = callerOf(response);
    const by = { id, name: account.name, role: account.role, device };
    record.append({ kind: "terminal-opened", subject: device, old: null, new: { by: id }, reason: "", by });
    return begin(account, true, response);
  });

  serve(router, endpoints.signOut, (_input, response) => {
    const { session } = callerOf(response);
    if (session !== null) {
      sessions.end(session);
      access.ended(session.account);
    }
    return nobody(response);
  });

  serve(router, endpoints.stay, (_input, response) => {
    const caller = callerOf(response);
    if (caller.session === null) return shown(caller);
    const session = book.session(caller.session.hash) ?? caller.session;
    return shown({ ...caller, session });
  });

  serve(router, endpoints.signOutEverywhere, (_input, response) => {
    const { person, device } = callerOf(response);
    if (person === null) throw signInNeeded(callerOf(response), "own-account");
    parts.journal.transaction(() => {
      const ended = sessions.endAll(person.id);
      const by = { id: person.id, name: person.name, role: person.role, device };
      record.append({ kind: "signed-out-everywhere", subject: person.id, old: { ended }, new: null, reason: "", by });
    });
    access.ended(person.id);
    return nobody(response);
  });

  serve(router, endpoints.ownSecrets, async ({ body: { password, newPassword, newPin } }, response) => {
    const caller = callerOf(response);
    const account = caller.person === null ? undefined : book.account(caller.person.id);
    if (account === undefined || caller.kind !== "person") throw signInNeeded(caller, "own-account");
    const key = `${account.id} ${netOf(response)}`;
    hold("wrong passwords", response, [pair, key], [whole, account.id]);
    if (!(await secretMatches(account.password, password))) {
      throw new Problem(403, "wrong-password", "that is not the password you have");
    }
    pair.passed(key);
    whole.passed(account.id);
    if (newPassword === undefined && newPin === undefined) {
      throw mistaken([{ place: "body", found: "neither", expected: "newPassword, newPin, or both" }]);
    }
    const hashes = await hashed(newPassword, newPin, about(account), "newPassword", "newPin");
    const next = { ...account, ...hashes };
    const by = { id: account.id, name: account.name, role: account.role, device: caller.device };
    parts.journal.transaction(() => {
      book.putAccount(next);
      sessions.endAll(account.id);
      told(by, account, hashes, "their own choice");
    });
    access.ended(account.id);
    return begin(next, false, response);
  });

  serve(router, endpoints.lookAtLink, ({ body: { token } }, response) => {
    hold("links that are not open", response, [tokens, netOf(response)]);
    const link = book.link(tokenHash(token), clock.nowMs());
    const account = link?.account == null ? undefined : book.account(link.account);
    if (link === undefined || (link.account !== null && account?.offMs !== null)) throw linkGone();
    tokens.passed(netOf(response));
    return { name: account?.name ?? null };
  });

  serve(router, endpoints.welcome, async ({ body }, response) => {
    hold("links that are not open", response, [tokens, netOf(response)]);
    const hash = tokenHash(body.token);
    const nowMs = clock.nowMs();
    const link = book.link(hash, nowMs);
    if (link === undefined) throw linkGone();
    const first = link.account === null;
    const found = link.account === null ? firstAccount(body, nowMs) : book.account(link.account);
    if (found === undefined || found.offMs !== null) throw linkGone();
    const hashes = await hashed(body.password, body.pin, about(found), "password", "pin");
    const account = { ...found, ...hashes };
    const by = { id: account.id, name: account.name, role: account.role, device: callerOf(response).device };
    parts.journal.transaction(() => {
      // Of two that open it at once one finds it used.
      if (book.useLink(hash, nowMs) === undefined) throw linkGone();
      book.putAccount(account);
      if (first) {
        const made = { id: account.id, name: account.name, role: account.role };
        record.append({ kind: "account-made", subject: account.id, old: null, new: made, reason: "first start", by });
      } else sessions.endAll(account.id);
      told(by, found, hashes, "by one-time link");
    });
    tokens.passed(netOf(response));
    access.ended(account.id);
    return begin(account, false, response);
  });

  serve(router, endpoints.openDisplay, ({ body: { key: secret } }, response) => {
    hold("display keys that are none", response, [tokens, netOf(response)]);
    const key = book.key(tokenHash(secret));
    if (key === undefined || key.kind !== "display" || key.goneMs !== null) {
      throw new Problem(403, "key-gone", "that key opens nothing: it was revoked, or never was one");
    }
    tokens.passed(netOf(response));
    const before = callerOf(response);
    if (before.session !== null) sessions.end(before.session);
    setCookie(response, "session", null);
    setCookie(response, "display", secret);
    return shown({ ...before, kind: "display", person: null, session: null, rights: ["read"], key });
  });

  function firstAccount(body: { readonly id?: string | undefined; readonly name?: string | undefined }, nowMs: number) {
    const { id, name } = body;
    const mistakes: Mistake[] = [];
    if (id === undefined)
      mistakes.push({ place: "body/id", found: "nothing", expected: "an id for the first account" });
    if (name === undefined) mistakes.push({ place: "body/name", found: "nothing", expected: "a name" });
    if (id === undefined || name === undefined) throw mistaken(mistakes);
    const taken = book.accounts().find((one) => one.id === id || one.name === name);
    if (taken !== undefined) throw new Problem(409, "account-taken", `there is an account ${taken.id}, ${taken.name}`);
    return {
      id,
      name,
      role: "administrator" as const,
      password: null,
      pin: null,
      areas: [],
      madeMs: nowMs,
      offMs: null,
    };
  }

  function told(
    by: Parameters<typeof record.append>[0]["by"],
    { id, password, pin }: Account,
    set: Partial<Account>,
    reason: string,
  ) {
    const was = (one: string | null): string | null => (one === null ? null : "set");
    if (set.password !== undefined) {
      record.append({ kind: "password-set", subject: id, old: was(password), new: "set", reason, by });
    }
    if (set.pin !== undefined) record.append({ kind: "pin-set", subject: id, old: was(pin), new: "set", reason, by });
  }
}

async function hashed(
  password: string | undefined,
  pin: string | undefined,
  about: readonly string[],
  passwordPlace: string,
  pinPlace: string,
): Promise<{ readonly password?: string; readonly pin?: string }> {
  const mistakes: Mistake[] = [];
  const weak = password === undefined ? null : whyWeak(password, about);
  if (weak !== null) mistakes.push({ place: `body/${passwordPlace}`, found: weak, expected: passwordWords });
  if (pin !== undefined && !isPin(pin)) {
    mistakes.push({ place: `body/${pinPlace}`, found: "something else", expected: pinWords });
  }
  if (mistakes.length > 0) throw mistaken(mistakes);
  return {
    ...(password === undefined ? {} : { password: await hashSecret(password) }),
    ...(pin === undefined ? {} : { pin: await hashSecret(pin) }),
  };
}

function linkGone(): Problem {
  return new Problem(403, "link-gone", "that link opens nothing: it was used, has run out, or never was one");
}
