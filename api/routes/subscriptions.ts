import { createECDH, randomBytes, randomUUID } from "node:crypto";
import type { Router } from "express";
import type { Device } from "../../collector/store/message-book.ts";
import { endpoints } from "../contract/endpoints.ts";
import type { WireDevice } from "../contract/message-wire.ts";
import type { ApiParts, MessageParts } from "../parts.ts";
import { actorOf } from "../people/actor.ts";
import type { People } from "../people/people.ts";
import { Problem } from "../problem.ts";
import { wireDevice } from "../read-model/messages.ts";
import { serve } from "../serve.ts";

/** Enough for everything a person carries; beyond it something keeps subscribing. */
const MOST_DEVICES = 10;
/** Deliveries looked at to say how a device stands. */
const LOOKED_AT = 20;

export function subscriptionRoutes(router: Router, parts: ApiParts, people: People): void {
  const { clock, messages } = parts;
  const { book } = messages;
  const { people: accounts, record } = parts.access;
  const shown = (device: Device): WireDevice => wireDevice(device, book.ofDevice(device.id, LOOKED_AT), clock.nowMs());

  serve(router, endpoints.messageSetUp, () => setUp(parts));
  serve(router, endpoints.subscriptions, ({ query: { person } }) => ({
    items: book
      .devices()
      .filter((device) => person === undefined || device.person === person)
      .map(shown),
  }));

  serve(router, endpoints.subscribe, async ({ body: { name, subscription, ...by } }, response) => {
    mustBeOn(messages);
    const person = await actorOf(people, by, "own-phone", clock.nowMs(), response);
    const { endpoint, keys } = subscription;
    const devices = book.devices().filter((one) => one.person === person.id && one.address !== null);
    const again = devices.some(({ address }) => address?.endpoint === endpoint);
    if (!again && devices.length >= MOST_DEVICES) {
      throw new Problem(409, "too-many-devices", `${person.name} has ${MOST_DEVICES} devices: take one off first`);
    }
    checkKeys(keys);
    const device = book.addDevice({
      ...{ id: randomUUID(), person: person.id, name, secret: randomBytes(24).toString("base64url") },
      ...{ address: { endpoint, ...keys }, addedMs: clock.nowMs() },
    });
    const made = { person: person.id, name };
    if (!again)
      record.append({ kind: "phone-added", subject: device.id, old: null, new: made, reason: "", by: person });
    return { device: shown(device), secret: device.secret };
  });

  serve(router, endpoints.unsubscribe, async ({ params: { id }, body }, response) => {
    const person = await actorOf(people, body, "own-phone", clock.nowMs(), response);
    const device = book.device(id);
    if (device === undefined) throw unknownDevice(id);
    if (device.person !== person.id && accounts.account(device.person)?.offMs === null) {
      throw new Problem(403, "not-your-device", `that device is not one of ${person.name}`);
    }
    book.removeDevice(id, "person", clock.nowMs());
    const old = { person: device.person, name: device.name };
    record.append({ kind: "phone-removed", subject: id, old, new: null, reason: "", by: person });
    return shown(book.device(id) ?? device);
  });
}

function setUp({ site, messages, access }: ApiParts) {
  const ofSettings = new Map(site.persons.map((one) => [one.id, one]));
  return {
    on: messages.publicKey !== null,
    ...{ publicKey: messages.publicKey, site: site.name, zone: site.zone },
    persons: access.people
      .accounts()
      .filter(({ offMs }) => offMs === null)
      .map(({ id, name, pin }) => {
        const { labels = [], hours = "always", after } = ofSettings.get(id) ?? {};
        return { id, name, hasPin: pin !== null, labels: [...labels], hours, after: after ?? null };
      }),
    trouble: messages
      .trouble()
      .map(({ service, status, sinceMs }) => ({ service, status, since: new Date(sinceMs).toISOString() })),
  };
}

export function mustBeOn({ publicKey }: MessageParts): void {
  if (publicKey !== null) return;
  throw new Problem(409, "messages-off", "this server sends no messages: its settings have no messages.contact");
}

export function unknownDevice(id: string): Problem {
  return new Problem(404, "unknown-device", `no device is named ${id}`);
}

/** A point of the curve and 16 bytes of secret: nothing could be sealed for anything else. */
function checkKeys({ p256dh, auth }: { readonly p256dh: string; readonly auth: string }): void {
  const point = Buffer.from(p256dh, "base64url");
  const errors = [
    ...(isPoint(point)
      ? []
      : [{ place: "body/subscription/keys/p256dh", found: p256dh, expected: "an uncompressed point of P-256" }]),
    ...(Buffer.from(auth, "base64url").length === 16
      ? []
      : [{ place: "body/subscription/keys/auth", found: auth, expected: "16 bytes" }]),
  ];
  if (errors.length > 0) throw new Problem(400, "bad-request", "the keys are none of a push subscription", { errors });
}

function isPoint(bytes: Buffer): boolean {
  const own = createECDH("prime256v1");
  own.generateKeys();
  try {
    own.computeSecret(bytes);
    return bytes.length === 65 && bytes[0] === 4;
  } catch {
    // What OpenSSL says of it is of no use to anybody: it is none.
    return false;
  }
}
