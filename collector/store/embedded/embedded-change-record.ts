import type { Database } from "better-sqlite3";
import {
  type ChangeQuery,
  type ChangeRecord,
  type ChangeRow,
  type ClockState,
  type HashedText,
  noRow,
  rowHash,
  type Verified,
} from "../change-record.ts";

interface Row extends HashedText {
  readonly hash: string;
}

const columns = "n, at_ms AS atMs, clock, kind, subject, person, name, role, device, old, new, reason, before, hash";

/** Of `PR-01`, `PR-01:mold.plateau:...` and `DR-1.supply-rh+DR-1.load:silence:...` the first name; no id holds `:` or `+`. */
const place = "substr(subject, 1, instr(replace(subject, '+', ':') || ':', ':') - 1)";

/** The Change Record in the journal's own file and connection, so that a change and its row are one transaction. */
export function changeRecord(
  db: Database,
  parts: {
    readonly guarded: <T>(work: () => T) => T;
    readonly transaction: <T>(work: () => T) => T;
    readonly now: () => { readonly nowMs: number; readonly clock: ClockState };
  },
): ChangeRecord {
  const { guarded, transaction, now } = parts;
  const last = db.prepare<[], Row>(`SELECT ${columns} FROM change_record ORDER BY n DESC LIMIT 1`);
  const all = db.prepare<[], Row>(`SELECT ${columns} FROM change_record ORDER BY n`);
  const hasHash = db.prepare<[string], number>("SELECT 1 FROM change_record WHERE hash = ?").pluck();
  const insert = db.prepare(
    `INSERT INTO change_record (n, at_ms, clock, kind, subject, person, name, role, device, old, new, reason, before, hash)
     VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)`,
  );
  const head = (): { n: number; hash: string } => {
    const row = last.get();
    return row === undefined ? { n: 0, hash: noRow } : { n: row.n, hash: row.hash };
  };

  return {
    append: (change) =>
      transaction(() => {
        const { n, hash: before } = head();
        const { nowMs: atMs, clock } = now();
        const { kind, subject, reason, by } = change;
        const text: HashedText = {
          ...{ n: n + 1, atMs, clock, kind, subject, reason, before },
          ...{ person: by.id, name: by.name, role: by.role, device: by.device },
          ...{ old: JSON.stringify(change.old ?? null), new: JSON.stringify(change.new ?? null) },
        };
        const hash = rowHash(text);
        const { person, name, role, device } = text;
        insert.run(
          n + 1,
          atMs,
          clock,
          kind,
          subject,
          person,
          name,
          role,
          device,
          text.old,
          text.new,
          reason,
          before,
          hash,
        );
        return asRow({ ...text, hash });
      }),
    read: (query) =>
      guarded(() => {
        const { where, args } = conditions(query);
        const sql = `SELECT ${columns} FROM change_record ${where} ORDER BY n DESC LIMIT ?`;
        return db
          .prepare<unknown[], Row>(sql)
          .all(...args, query.limit)
          .map(asRow);
      }),
    head: () => guarded(head),
    has: (hash) => guarded(() => hasHash.get(hash) !== undefined),
    verify: () => guarded(() => verified(all.iterate())),
  };
}

function verified(rows: Iterable<Row>): Verified {
  let before = noRow;
  let n = 0;
  for (const row of rows) {
    n += 1;
    if (row.n !== n) return { ok: false, n, why: `row ${n} is missing: the next one is row ${row.n}` };
    if (row.before !== before) return { ok: false, n, why: `row ${n} does not carry the hash of row ${n - 1}` };
    if (rowHash(row) !== row.hash) return { ok: false, n, why: `row ${n} is not what its hash was made of` };
    before = row.hash;
  }
  return { ok: true, rows: n, head: before };
}

function conditions(query: ChangeQuery): { readonly where: string; readonly args: readonly unknown[] } {
  const parts: string[] = [];
  const args: unknown[] = [];
  const add = (sql: string, value: unknown): void => {
    if (value === undefined) return;
    parts.push(sql);
    args.push(value);
  };
  if (query.kinds !== undefined) {
    parts.push(`kind IN (${query.kinds.map(() => "?").join(", ")})`);
    args.push(...query.kinds);
  }
  if (query.about !== undefined) {
    const { places, orBy } = query.about;
    parts.push(`(${place} IN (${places.map(() => "?").join(", ")}) OR person = ?)`);
    args.push(...places, orBy);
  }
  add("person = ?", query.person);
  add("subject = ?", query.subject);
  add("at_ms >= ?", query.fromMs);
  add("at_ms < ?", query.toMs);
  add("n < ?", query.beforeN);
  return { where: parts.length === 0 ? "" : `WHERE ${parts.join(" AND ")}`, args };
}

function asRow(row: Row): ChangeRow {
  const { n, atMs, kind, subject, reason, before, hash, person, name, role, device } = row;
  return {
    ...{ n, atMs, clock: row.clock as ClockState, kind, subject, reason, before, hash },
    ...{ old: shown(row.old), new: shown(row.new), by: { id: person, name, role, device } },
  };
}

/** A row that somebody damaged is still shown: `verify` says that it is. */
function shown(text: string): unknown {
  try {
    return JSON.parse(text);
  } catch {
    // No JSON any more: the text as it stands.
    return text;
  }
}
