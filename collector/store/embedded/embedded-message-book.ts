import { join } from "node:path";
import type { Delivery, Device, FailReason, GoneReason, MessageBook } from "../message-book.ts";
import type { Fence } from "./fence.ts";
import { journalMigrations } from "./journal-migrations.ts";
import { openDatabase } from "./open-database.ts";
import { withFaults } from "./store-fault.ts";

interface DeviceRow {
  readonly id: string;
  readonly person: string;
  readonly name: string;
  readonly secret: string;
  readonly endpoint: string | null;
  readonly p256dh: string | null;
  readonly auth: string | null;
  readonly added_ms: number;
  readonly gone_ms: number | null;
  readonly gone_why: GoneReason | null;
}

interface DeliveryRow {
  readonly message: string;
  readonly device: string;
  readonly queued_ms: number;
  readonly expires_ms: number;
  readonly due_ms: number | null;
  readonly attempts: number;
  readonly sent_ms: number | null;
  readonly answer: string | null;
  readonly accepted_ms: number | null;
  readonly shown_ms: number | null;
  readonly opened_ms: number | null;
  readonly failed_ms: number | null;
  readonly reason: FailReason | null;
}

/** Opens devices and deliveries of a data folder, in the journal's own file, so that a backup has them too. */
export function openMessageBook(folder: string, fence?: Fence): MessageBook {
  const file = join(folder, "journal.sqlite");
  const db = openDatabase(file, journalMigrations, fence);
  const at = "WHERE message = ? AND device = ?";
  const sql = {
    put: db.prepare(
      `INSERT INTO device (id, person, name, secret, endpoint, p256dh, auth, added_ms) VALUES (?, ?, ?, ?, ?, ?, ?, ?)
       ON CONFLICT (endpoint) DO UPDATE SET person = excluded.person, name = excluded.name, p256dh = excluded.p256dh,
         auth = excluded.auth, gone_ms = NULL, gone_why = NULL`,
    ),
    byEndpoint: db.prepare<[string], DeviceRow>("SELECT * FROM device WHERE endpoint = ?"),
    device: db.prepare<[string], DeviceRow>("SELECT * FROM device WHERE id = ?"),
    devices: db.prepare<[], DeviceRow>("SELECT * FROM device ORDER BY added_ms, id"),
    gone: db.prepare(
      "UPDATE device SET endpoint = NULL, p256dh = NULL, auth = NULL, gone_ms = ?, gone_why = ? WHERE id = ? AND gone_ms IS NULL",
    ),
    goneDeliveries: db.prepare(
      "UPDATE delivery SET failed_ms = ?, reason = 'gone', due_ms = NULL WHERE device = ? AND due_ms IS NOT NULL",
    ),
    queue: db.prepare(
      "INSERT OR IGNORE INTO delivery (message, device, queued_ms, expires_ms, due_ms, failed_ms, reason) VALUES (?, ?, ?, ?, ?, ?, ?)",
    ),
    due: db.prepare<[number, number], DeliveryRow>(
      "SELECT * FROM delivery WHERE due_ms <= ? ORDER BY due_ms, queued_ms, message, device LIMIT ?",
    ),
    nextDue: db.prepare<[], number | null>("SELECT min(due_ms) FROM delivery WHERE due_ms IS NOT NULL").pluck(),
    attempt: db.prepare(`UPDATE delivery SET attempts = attempts + 1, sent_ms = ?, due_ms = ? ${at}`),
    accepted: db.prepare(`UPDATE delivery SET accepted_ms = ?, answer = ?, expires_ms = ?, due_ms = NULL ${at}`),
    again: db.prepare(`UPDATE delivery SET answer = ?, due_ms = ? ${at} AND due_ms IS NOT NULL`),
    failed: db.prepare(
      `UPDATE delivery SET failed_ms = ?, reason = ?, answer = coalesce(?, answer), due_ms = NULL ${at} AND due_ms IS NOT NULL`,
    ),
    shown: db.prepare(`UPDATE delivery SET shown_ms = coalesce(shown_ms, ?), due_ms = NULL ${at}`),
    opened: db.prepare(`UPDATE delivery SET opened_ms = coalesce(opened_ms, ?) ${at}`),
    ofMessage: db.prepare<[string], DeliveryRow>("SELECT * FROM delivery WHERE message = ? ORDER BY device"),
    ofDevice: db.prepare<[string, number], DeliveryRow>(
      "SELECT * FROM delivery WHERE device = ? ORDER BY queued_ms DESC, message DESC LIMIT ?",
    ),
  };
  const guarded = <T>(work: () => T): T => withFaults(file, work);
  const together = <T>(work: () => T): T => guarded(() => db.transaction(work).immediate());

  return {
    addDevice: ({ id, person, name, secret, address, addedMs }) =>
      together(() => {
        const { endpoint, p256dh, auth } = address;
        sql.put.run(id, person, name, secret, endpoint, p256dh, auth, addedMs);
        return asDevice(sql.byEndpoint.get(endpoint)!);
      }),
    device: (id) =>
      guarded(() => {
        const row = sql.device.get(id);
        return row === undefined ? undefined : asDevice(row);
      }),
    devices: () => guarded(() => sql.devices.all().map(asDevice)),
    removeDevice: (id, why, nowMs) =>
      together(() => {
        sql.gone.run(nowMs, why, id);
        sql.goneDeliveries.run(nowMs, id);
      }),
    queue: (deliveries) =>
      together(() => {
        for (const { message, device, queuedMs, expiresMs } of deliveries) {
          const none = device === "";
          const due = none ? null : queuedMs;
          sql.queue.run(message, device, queuedMs, expiresMs, due, none ? queuedMs : null, none ? "no-device" : null);
        }
      }),
    due: (nowMs, most) => guarded(() => sql.due.all(nowMs, most).map(asDelivery)),
    nextDueMs: () => guarded(() => sql.nextDue.get() ?? null),
    attempt: (message, device, nowMs, againMs) => guarded(() => void sql.attempt.run(nowMs, againMs, message, device)),
    accepted: (message, device, nowMs, answer, expiresMs) =>
      guarded(() => void sql.accepted.run(nowMs, answer, expiresMs, message, device)),
    again: (message, device, answer, dueMs) => guarded(() => void sql.again.run(answer, dueMs, message, device)),
    failed: (message, device, nowMs, reason, answer) =>
      guarded(() => void sql.failed.run(nowMs, reason, answer, message, device)),
    reported: (message, device, what, nowMs) => guarded(() => sql[what].run(nowMs, message, device).changes > 0),
    ofMessages: (messages) => guarded(() => messages.flatMap((message) => sql.ofMessage.all(message).map(asDelivery))),
    ofDevice: (device, most) => guarded(() => sql.ofDevice.all(device, most).map(asDelivery)),
    close: () => void db.close(),
  };
}

function asDevice(row: DeviceRow): Device {
  const { id, person, name, secret, endpoint, p256dh, auth } = row;
  const address = endpoint === null || p256dh === null || auth === null ? null : { endpoint, p256dh, auth };
  return { id, person, name, secret, address, addedMs: row.added_ms, goneMs: row.gone_ms, goneWhy: row.gone_why };
}

function asDelivery(row: DeliveryRow): Delivery {
  const { message, device, attempts, answer, reason } = row;
  return {
    ...{ message, device, attempts, answer, reason },
    queuedMs: row.queued_ms,
    expiresMs: row.expires_ms,
    dueMs: row.due_ms,
    sentMs: row.sent_ms,
    acceptedMs: row.accepted_ms,
    shownMs: row.shown_ms,
    openedMs: row.opened_ms,
    failedMs: row.failed_ms,
  };
}
