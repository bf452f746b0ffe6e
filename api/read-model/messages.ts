import type { Site } from "../../collector/platform/settings/site.ts";
import type { Delivery, Device } from "../../collector/store/message-book.ts";
import type { Message } from "../../spc/model/message.ts";
import type { WireDelivery, WireDevice, WireMessage } from "../contract/message-wire.ts";
import type { WireFlag } from "../contract/wire.ts";
import { instant } from "./wire-form.ts";

/** A phone that has not shown a message by now probably did not. */
const SHOWN_WITHIN_MS = 3 * 60_000;

export function wireMessage(
  message: Message,
  deliveries: readonly Delivery[],
  parts: {
    readonly site: Site;
    readonly device: (id: string) => Device | undefined;
    readonly flag: (id: string) => WireFlag | undefined;
  },
): WireMessage {
  const { id, person, flag, why, label, title, body, queuedMs, expiresMs } = message;
  return {
    ...{ id, person, flag, why, label, title, body },
    personName: parts.site.persons.find((one) => one.id === person)?.name ?? person,
    queuedAt: instant(queuedMs),
    expiresAt: instant(expiresMs),
    deliveries: deliveries.map((one) => wireDelivery(one, parts.device(one.device)?.name ?? null)),
    taken: flag === null ? null : (parts.flag(flag)?.taken ?? null),
  };
}

function wireDelivery(delivery: Delivery, deviceName: string | null): WireDelivery {
  const { device, attempts, answer, reason } = delivery;
  return {
    ...{ device: device === "" ? null : device, deviceName, state: stateOf(delivery) },
    queuedAt: instant(delivery.queuedMs),
    sentAt: at(delivery.sentMs),
    ...{ attempts, answer },
    againAt: at(delivery.dueMs),
    acceptedAt: at(delivery.acceptedMs),
    shownAt: at(delivery.shownMs),
    openedAt: at(delivery.openedMs),
    failedAt: at(delivery.failedMs),
    reason,
  };
}

/** The farthest that is known. What the phone itself reported outweighs what a service did not answer. */
function stateOf({ openedMs, shownMs, acceptedMs, failedMs }: Delivery): WireDelivery["state"] {
  if (openedMs !== null) return "opened";
  if (shownMs !== null) return "shown";
  if (failedMs !== null) return "failed";
  return acceptedMs === null ? "queued" : "accepted";
}

/** `newest`: its deliveries, the newest first. */
export function wireDevice(device: Device, newest: readonly Delivery[], nowMs: number): WireDevice {
  const accepted = newest.filter(({ acceptedMs }) => acceptedMs !== null);
  return {
    ...{ id: device.id, person: device.person, name: device.name },
    state: deviceState(device, newest, nowMs),
    addedAt: instant(device.addedMs),
    goneAt: at(device.goneMs),
    goneWhy: device.goneWhy,
    lastAcceptedAt: at(accepted[0]?.acceptedMs ?? null),
    lastShownAt: at(newest.find(({ shownMs }) => shownMs !== null)?.shownMs ?? null),
  };
}

/**
 * Doubtful is a device that never showed anything, or not the last two messages that its service accepted and that it
 * had time to show: it may be off, or not allow messages any more, and the service does not tell.
 */
export function deviceState(device: Device, newest: readonly Delivery[], nowMs: number): WireDevice["state"] {
  if (device.address === null) return "gone";
  const judged = newest.filter(
    ({ acceptedMs, shownMs }) => shownMs !== null || (acceptedMs !== null && nowMs - acceptedMs > SHOWN_WITHIN_MS),
  );
  return judged.slice(0, 2).some(({ shownMs }) => shownMs !== null) ? "ok" : "doubtful";
}

function at(ms: number | null): string | null {
  return ms === null ? null : instant(ms);
}
