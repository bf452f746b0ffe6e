import type { Database } from "better-sqlite3";
import type { IncomingMessage, QuarantineRow } from "../sample-store.ts";

/** Bytes of a refused message that are kept. */
const BYTES_KEPT = 4096;
const TOPIC_KEPT = 512;
const DETAIL_KEPT = 300;
/** Rejections of one message that are kept; the rest is only counted. */
const ROWS_A_MESSAGE = 100;

export interface QuarantineTable {
  /** Inside a transaction. Keeps the newest rows only: a sender gone mad must not fill the disk. */
  add(message: IncomingMessage): void;
  read(options: { readonly afterId?: number; readonly limit: number }): readonly QuarantineRow[];
}

export function quarantineTable(db: Database, rowsKept: number): QuarantineTable {
  const addMessage = db.prepare("INSERT INTO quarantined_message (received, topic, bytes, size) VALUES (?, ?, ?, ?)");
  const addRow = db.prepare("INSERT INTO quarantine (message, code, place, detail) VALUES (?, ?, ?, ?)");
  const dropRows = db.prepare("DELETE FROM quarantine WHERE id <= ?");
  const dropMessages = db.prepare(
    "DELETE FROM quarantined_message WHERE id < (SELECT coalesce(min(message), 0) FROM quarantine)",
  );
  const select = db.prepare<[number, number], QuarantineRow>(`
    SELECT q.id, m.received AS receivedMs, m.topic, m.bytes, m.size, q.code, q.place, q.detail
    FROM quarantine q JOIN quarantined_message m ON m.id = q.message
    WHERE q.id > ? ORDER BY q.id LIMIT ?`);

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
    read: ({ afterId = 0, limit }) => select.all(afterId, limit),
  };
}
