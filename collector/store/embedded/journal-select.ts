import type { JournalQuery } from "../journal.ts";
import { IMPORTED_RUN } from "./journal-migrations.ts";

/**
 * The SELECT of a query and its arguments. A `+` keeps SQLite from using an index on that column: the narrowest
 * column first, and rows then already in the asked order.
 */
export function journalSelect(query: JournalQuery): { readonly sql: string; readonly args: unknown[] } {
  const where: string[] = [];
  const args: unknown[] = [];
  const need = (condition: string, ...values: unknown[]): void => {
    where.push(condition);
    args.push(...values);
  };

  if (query.subject !== undefined) need("subject = ?", query.subject);
  const narrowed = query.subject !== undefined;
  if (query.station !== undefined) need(`${narrowed ? "+" : ""}station = ?`, query.station);
  // Word for word the condition of its index.
  if (query.importedRuns === true) need(IMPORTED_RUN);
  else if (query.kinds !== undefined) {
    const plain = narrowed || query.station !== undefined ? "+" : "";
    need(`${plain}kind IN (${query.kinds.map(() => "?").join(", ")})`, ...query.kinds);
  }
  if (query.afterSeq !== undefined) need("seq > ?", query.afterSeq);
  if (query.beforeSeq !== undefined) need("seq < ?", query.beforeSeq);
  if (query.fromMs !== undefined) need("at_ms >= ?", query.fromMs);
  if (query.toMs !== undefined) need("at_ms < ?", query.toMs);

  const direction = query.newestFirst === true ? "DESC" : "ASC";
  const order = query.orderBy === "time" ? `at_ms ${direction}, seq ${direction}` : `seq ${direction}`;
  args.push(query.limit ?? -1);
  // SQLite by itself would go through all runs.
  const by = query.importedRuns === true ? " INDEXED BY entry_imported_run" : "";
  const condition = where.length === 0 ? "" : ` WHERE ${where.join(" AND ")}`;
  return {
    sql: `SELECT seq, id, kind, station, subject, at_ms, body FROM entry${by}${condition} ORDER BY ${order} LIMIT ?`,
    args,
  };
}
