import { type ChangeRecord, type ChangeRow, noRow } from "../../collector/store/change-record.ts";

/** A Change Record in memory that keeps rows and hashes nothing. */
export function memoryRecord(): ChangeRecord {
  const rows: ChangeRow[] = [];
  return {
    append: (change) => {
      const n = rows.length + 1;
      const row: ChangeRow = { ...change, n, atMs: 0, clock: "not-known", before: String(n - 1), hash: String(n) };
      rows.push(row);
      return row;
    },
    read: () => [...rows].reverse(),
    head: () => ({ n: rows.length, hash: rows.at(-1)?.hash ?? noRow }),
    has: (hash) => rows.some((row) => row.hash === hash),
    verify: () => ({ ok: true, rows: rows.length, head: rows.at(-1)?.hash ?? noRow }),
  };
}
