import type { Database } from "better-sqlite3";
import type { AccessKey, Account, OneTimeLink, PeopleBook, Session } from "../people-book.ts";

interface SessionRow extends Omit<Session, "shared"> {
  readonly shared: number;
}
interface AccountRow extends Omit<Account, "areas"> {
  readonly areas: string;
}
interface KeyRow extends Omit<AccessKey, "scopes"> {
  readonly scopes: string;
}

const account = "id, name, role, password, pin, areas, made_ms AS madeMs, off_ms AS offMs";
const session =
  "hash, former, account, shared, device, made_ms AS madeMs, turned_ms AS turnedMs, seen_ms AS seenMs, until_ms AS untilMs";
const key = "id, hash, kind, name, page, scopes, made_ms AS madeMs, used_ms AS usedMs, gone_ms AS goneMs";

/** Accounts, sessions, links and keys in the journal's own file and connection. */
export function peopleBook(
  db: Database,
  parts: { readonly guarded: <T>(work: () => T) => T; readonly transaction: <T>(work: () => T) => T },
): PeopleBook {
  const { guarded, transaction } = parts;
  const sql = {
    accounts: db.prepare<[], AccountRow>(`SELECT ${account} FROM account ORDER BY made_ms, id`),
    account: db.prepare<[string], AccountRow>(`SELECT ${account} FROM account WHERE id = ?`),
    putAccount: db.prepare(
      `INSERT INTO account (id, name, role, password, pin, areas, made_ms, off_ms) VALUES (?, ?, ?, ?, ?, ?, ?, ?)
       ON CONFLICT (id) DO UPDATE SET name = excluded.name, role = excluded.role, password = excluded.password,
         pin = excluded.pin, areas = excluded.areas, off_ms = excluded.off_ms`,
    ),
    addSession: db.prepare(
      `INSERT INTO session (hash, former, account, shared, device, made_ms, turned_ms, seen_ms, until_ms)
       VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?)`,
    ),
    session: db.prepare<[string, string], SessionRow>(`SELECT ${session} FROM session WHERE hash = ? OR former = ?`),
    sessionsOf: db.prepare<[string], SessionRow>(`SELECT ${session} FROM session WHERE account = ? ORDER BY made_ms`),
    seen: db.prepare("UPDATE session SET seen_ms = ? WHERE hash = ?"),
    turn: db.prepare("UPDATE session SET hash = ?, former = hash, turned_ms = ? WHERE hash = ?"),
    endSession: db.prepare("DELETE FROM session WHERE hash = ? OR former = ?"),
    endSessions: db.prepare("DELETE FROM session WHERE account = ?"),
    forget: db.prepare("DELETE FROM session WHERE until_ms <= ? OR seen_ms <= CASE shared WHEN 1 THEN ? ELSE ? END"),
    dropLinks: db.prepare("DELETE FROM one_time_link WHERE account IS ? AND used_ms IS NULL"),
    addLink: db.prepare("INSERT INTO one_time_link (hash, account, until_ms) VALUES (?, ?, ?)"),
    link: db.prepare<[string], OneTimeLink>(
      "SELECT hash, account, until_ms AS untilMs, used_ms AS usedMs FROM one_time_link WHERE hash = ?",
    ),
    useLink: db.prepare("UPDATE one_time_link SET used_ms = ? WHERE hash = ? AND used_ms IS NULL AND until_ms > ?"),
    addKey: db.prepare(
      "INSERT INTO access_key (id, hash, kind, name, page, scopes, made_ms) VALUES (?, ?, ?, ?, ?, ?, ?)",
    ),
    keys: db.prepare<[], KeyRow>(`SELECT ${key} FROM access_key ORDER BY made_ms, id`),
    key: db.prepare<[string], KeyRow>(`SELECT ${key} FROM access_key WHERE hash = ?`),
    keyUsed: db.prepare("UPDATE access_key SET used_ms = ? WHERE id = ?"),
    revoke: db.prepare("UPDATE access_key SET gone_ms = ? WHERE id = ? AND gone_ms IS NULL"),
  };

  return {
    accounts: () => guarded(() => sql.accounts.all().map(asAccount)),
    account: (id) =>
      guarded(() => {
        const row = sql.account.get(id);
        return row === undefined ? undefined : asAccount(row);
      }),
    putAccount: ({ id, name, role, password, pin, areas, madeMs, offMs }) =>
      guarded(() => void sql.putAccount.run(id, name, role, password, pin, JSON.stringify(areas), madeMs, offMs)),

    addSession: (one) =>
      guarded(() => {
        const { hash, former, device, madeMs, turnedMs, seenMs, untilMs } = one;
        sql.addSession.run(hash, former, one.account, one.shared ? 1 : 0, device, madeMs, turnedMs, seenMs, untilMs);
      }),
    session: (hash) =>
      guarded(() => {
        const row = sql.session.get(hash, hash);
        return row === undefined ? undefined : asSession(row);
      }),
    sessionsOf: (id) => guarded(() => sql.sessionsOf.all(id).map(asSession)),
    seen: (hash, nowMs) => guarded(() => void sql.seen.run(nowMs, hash)),
    turn: (hash, next, nowMs) => guarded(() => sql.turn.run(next, nowMs, hash).changes === 1),
    endSession: (hash) => guarded(() => void sql.endSession.run(hash, hash)),
    endSessions: (id) => guarded(() => sql.endSessions.run(id).changes),
    forgetSessions: (untilMs, idle) => guarded(() => void sql.forget.run(untilMs, idle.shared, idle.personal)),

    addLink: ({ hash, account: id, untilMs }) =>
      transaction(() => {
        sql.dropLinks.run(id);
        sql.addLink.run(hash, id, untilMs);
      }),
    link: (hash, nowMs) =>
      guarded(() => {
        const found = sql.link.get(hash);
        return found === undefined || found.usedMs !== null || found.untilMs <= nowMs ? undefined : found;
      }),
    useLink: (hash, nowMs) =>
      transaction(() => (sql.useLink.run(nowMs, hash, nowMs).changes === 1 ? sql.link.get(hash) : undefined)),

    addKey: ({ id, hash, kind, name, page, scopes, madeMs }) =>
      guarded(() => void sql.addKey.run(id, hash, kind, name, page, JSON.stringify(scopes), madeMs)),
    keys: () => guarded(() => sql.keys.all().map(asKey)),
    key: (hash) =>
      guarded(() => {
        const row = sql.key.get(hash);
        return row === undefined ? undefined : asKey(row);
      }),
    keyUsed: (id, nowMs) => guarded(() => void sql.keyUsed.run(nowMs, id)),
    revokeKey: (id, nowMs) => guarded(() => sql.revoke.run(nowMs, id).changes === 1),
  };
}

function asAccount(row: AccountRow): Account {
  return { ...row, areas: JSON.parse(row.areas) as readonly string[] };
}

function asSession(row: SessionRow): Session {
  return { ...row, shared: row.shared === 1 };
}

function asKey(row: KeyRow): AccessKey {
  return { ...row, scopes: JSON.parse(row.scopes) as readonly string[] };
}
