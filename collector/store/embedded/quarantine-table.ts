import type { Database, Statement } from "better-sqlite3";
import type { IncomingMessage, QuarantinePage, QuarantineRow } from "../sample-store.ts";

/** Bytes of a refused message that are kept. */
const BYTES_KEPT = 4096;
const TOPIC_KEPT = 512;
const DETAIL_KEPT = 300;
/** Rejections of one message that are kept; the rest is only counted. */
const ROWS_A_MESSAGE = 100;

export interface QuarantineTable {
  /** Inside a transaction. Keeps the newest rows only: a sender gone mad must not fill the disk. */
  add(message: IncomingMessage): void;
  read(page: QuarantinePage): readonly QuarantineRow[];
}

export function quarantineTable(db: Database, rowsKept: number): QuarantineTable {
  const addMessage = db.prepare("INSERT INTO quarantined_message (received, topic, bytes, size) VALUES (?, ?, ?, ?)");
  const addRow = db.prepare("INSERT INTO quarantine (message, code, place, detail) VALUES (?, ?, ?, ?)");
  const dropRows = db.prepare("DELETE FROM quarantine WHERE id <= ?");
  const dropMessages = db.prepare(
    "DELETE FROM quarantined_message WHERE id < (SELECT coalesce(min(message), 0) FROM quarantine)",
  );
  const select = (follow: string): Statement<[number, number], QuarantineRow> =>
    db.prepare<[number, number], QuarantineRow>(`
      SELECT q.id, m.received AS receivedMs, m.topic, m.bytes, m.size, q.code, q.place, q.detail
      FROM quarantine q JOIN quarantined_message m ON m.id = q.message
      WHERE ${follow} LIMIT ?`);
  const oldestFirst = select("q.id > ? ORDER BY q.id");
  const newest = select("q.id < ? ORDER BY q.id DESC");

  return {
    add: ({ receivedMs, topic, payload, rejections }) => {
      const bytes = payload.subarray(0, BYTES_KEPT);
      const added = addMessage.run(receivedMs, topic.slice(0, TOPIC_KEPT), bytes, payload.length);
      let newest = 0;
      for (const { code, place, detail } of rejections.slice(0, ROWS_A_MESSAGE)) {
        newest = Number(
          addRow.run(added.lastInsertRowid, code, place.slice(0, DETAIL_KEPT), detail.slice(0, DETAIL_KEPT))
            .lastInsertRowid,
        );
      }
      if (newest > rowsKept && dropRows.run(newest - rowsKept).changes > 0) dropMessages.run();
    },
    read: ({ afterId, limit, newestFirst = false }) =>
      newestFirst ? newest.all(afterId ?? Number.MAX_SAFE_INTEGER, limit) : oldestFirst.all(afterId ?? 0, limit),
  };
}
