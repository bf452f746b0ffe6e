import { afterAll, afterEach, beforeAll, beforeEach, expect, test } from "vitest";
import { strangeCharacters } from "../../../spc/notify/message-text.ts";
import { low, type MessageRig, messageRig, night } from "./message-rig.ts";
import { type PushService, pushService } from "./push-service.ts";
import { type ThrowAwayAuthority, throwAwayAuthority } from "./throw-away-authority.ts";

let authority: ThrowAwayAuthority;
let service: PushService;
let rig: MessageRig;

beforeAll(() => {
  authority = throwAwayAuthority();
});
afterAll(() => authority?.remove());
beforeEach(async () => {
  service = await pushService(authority);
  rig = messageRig(service, authority);
});
afterEach(async () => {
  await rig.close();
  await service.close();
});

const states = () =>
  rig.deliveries().map(({ acceptedMs, shownMs, failedMs, reason, attempts }) => ({
    accepted: acceptedMs !== null,
    shown: shownMs !== null,
    failed: failedMs !== null,
    reason,
    attempts,
  }));
const settled = () => rig.deliveries().length > 0 && rig.deliveries().every(({ dueMs }) => dueMs === null);

test("an act-now flag reaches the phone with all that U6 asks for, and no more", async () => {
  const phone = rig.setUp(service);
  rig.start();
  const atMs = rig.clock.nowMs() - 5_000;
  rig.find(low(atMs), low(atMs, { id: "another", on: "location", rule: "beyond-limit", z: -4 }));
  await rig.until("it is accepted", settled);
  expect(service.requests).toHaveLength(1);
  const [push] = phone.stored();
  expect(push?.headers).toMatchObject({ ttl: "900", urgency: "high" });
  expect(String(push?.headers["topic"])).toMatch(/^[\w-]{1,32}$/);
  const { notification } = phone.read(push!);
  const [title, body] = [String(notification["title"]), String(notification["body"])];
  expect(title).toBe("ACT NOW PR-01: too low");
  expect(title.length).toBeLessThanOrEqual(45);
  expect(body).toMatch(
    /^0\.800 bar, spec from 0\.820\nShot, \d\d:\d\d\nHold shots, look at the valve\.\n2 signals\nRef 1$/,
  );
  expect(`${title}\n${body}`.length).toBeLessThanOrEqual(160);
  expect(strangeCharacters(title + body)).toEqual([]);
  expect(title + body).not.toMatch(/sigma|outside-spec|beyond-limit|lead/i);
  expect(notification.data).toMatchObject({ device: phone.id, flag: rig.messages()[0]!.flag });
  // One length for all, so that the service learns nothing from it.
  expect(push?.body.length).toBe(86 + 2048 + 17);
  expect(states()).toEqual([{ accepted: true, shown: false, failed: false, reason: null, attempts: 1 }]);
});

test("whoever took it and whatever they wrote, nothing that leaves names a person", async () => {
  const phone = rig.setUp(service);
  rig.start();
  const atMs = rig.clock.nowMs() - 5_000;
  rig.find(low(atMs));
  await rig.until("the first is accepted", settled);
  const flag = rig.messages()[0]!.flag ?? "no flag";
  const by = { by: "Early lead", atMs };
  const about = { station: "PR-01", subject: flag, atMs };
  rig.data.journal.append([
    { id: `${flag}/taken`, ...about, kind: "taken", body: { flag, ...by } },
    { id: `${flag}/done`, ...about, kind: "done", body: { flag, ...by, cause: "trap", note: "Night lead was told" } },
  ]);
  // Another run, far enough out to be told anew.
  rig.find(low(atMs + 1_000, { id: "worse", z: -9 }));
  await rig.until("all are accepted", settled);
  for (const push of phone.stored()) {
    const { notification } = phone.read(push);
    const { data, ...shown } = notification;
    expect(JSON.stringify([shown, push.headers]).toLowerCase()).not.toMatch(/lead|night|early|maintenance/);
    // The id of a message holds whose account it is for; no name, and not what is shown.
    expect(JSON.stringify(data)).not.toMatch(/Early lead|Night lead|"by"/);
  }
  for (const message of rig.messages()) {
    expect(JSON.stringify({ ...message, person: null })).not.toMatch(/Early lead|Night lead/);
  }
});

test("a flag is one message a person: again only a sigma further out, or under a higher label; late ones never", () => {
  const nowMs = rig.clock.nowMs();
  const joins = (n: number, change = {}) =>
    low(nowMs, { run: `PR-01:${n}`, flag: "PR-01:mold.plateau:one", ...change });
  const told = () => rig.messages().map(({ person, why, title }) => `${person} ${why} ${title.split(" ")[0]}`);
  rig.find(joins(0, { label: "look", atMs: nowMs - 16 * 60_000 }));
  expect(told()).toEqual([]);
  rig.find(joins(1, { label: "look" }));
  expect(told()).toEqual(["lead opened LOOK"]);
  // Sigma is 0.01 bar: 0.795 is half of one further out than 0.8, 0.79 a whole one.
  for (let n = 2; n < 40; n += 1) rig.find(joins(n, { label: "look", value: 0.795 }));
  expect(told()).toHaveLength(1);
  rig.find(joins(40, { label: "look", value: 0.7899 }));
  expect(told().slice(1)).toEqual(["lead further LOOK"]);
  rig.find(joins(41));
  expect(told().slice(2)).toEqual(["lead raised ACT"]);
  const before = told().length;
  // The same once more is a replay: the journal takes nothing as new, and nobody hears of it.
  rig.find(joins(1, { label: "look" }), joins(40, { label: "look", value: 0.7899 }), joins(41));
  expect(told()).toHaveLength(before);
});

test("signal and message are kept together or not at all", () => {
  const signal = low(rig.clock.nowMs());
  const breaks = () => {
    throw new Error("the disk is full");
  };
  expect(() => rig.findDuring(breaks, signal)).toThrow("the disk is full");
  expect(rig.messages()).toEqual([]);
  expect(rig.data.journal.find(signal.id)).toBeUndefined();
  rig.find(signal);
  expect(rig.messages()).toHaveLength(1);
});

test("hours are those of the site's clock, also in the nights when the clocks change", async () => {
  // CET: 22:00 is 21:00 UTC in winter and 20:00 UTC in summer; on 28 March 2027 the clocks go forward at 01:00 UTC.
  const hoursAt = async (iso: string) => {
    const other = messageRig(service, authority, { startMs: Date.parse(iso), more: [night] });
    other.find(low(other.clock.nowMs()));
    const persons = other.messages().map(({ person }) => person);
    await other.close();
    return persons.includes("night");
  };
  expect(await hoursAt("2027-03-27T20:59:30Z")).toBe(false);
  expect(await hoursAt("2027-03-27T21:00:00Z")).toBe(true);
  expect(await hoursAt("2027-03-28T03:59:59Z")).toBe(true);
  expect(await hoursAt("2027-03-28T04:00:00Z")).toBe(false);
  expect(await hoursAt("2027-03-28T20:00:00Z")).toBe(true);
});

test("only the phone's report moves accepted to shown, and the first report counts", async () => {
  const phone = rig.setUp(service);
  rig.start();
  rig.find(low(rig.clock.nowMs()));
  await rig.until("it is accepted", settled);
  expect(states()).toMatchObject([{ accepted: true, shown: false }]);
  const [message] = rig.messages();
  const at = rig.clock.nowMs();
  expect(rig.data.messages.reported(message!.id, phone.id, "shown", at)).toBe(true);
  expect(rig.data.messages.reported(message!.id, phone.id, "shown", at + 5)).toBe(true);
  expect(rig.data.messages.reported("another", phone.id, "shown", at)).toBe(false);
  expect(rig.deliveries()[0]).toMatchObject({ shownMs: at, openedMs: null });
});

test.each([404, 410])(
  "%i: the subscription is forgotten, the device is gone, and nothing more goes there",
  async (status) => {
    const phone = rig.setUp(service);
    rig.start();
    service.play(status);
    rig.find(low(rig.clock.nowMs()));
    await rig.until("it is gone", () => states()[0]?.failed === true);
    expect(states()).toEqual([{ accepted: false, shown: false, failed: true, reason: "gone", attempts: 1 }]);
    expect(rig.data.messages.device(phone.id)).toMatchObject({ address: null, goneWhy: "service" });
    rig.find(low(rig.clock.nowMs() + 1));
    await rig.until("the next one has nowhere to go", () => rig.deliveries().length === 2);
    expect(states()[1]).toMatchObject({ failed: true, reason: "no-device", attempts: 0 });
    expect(service.requests).toHaveLength(1);
  },
);

test("429: tried again no sooner than the service asked", async () => {
  rig.setUp(service);
  rig.start();
  service.play({ status: 429, headers: { "Retry-After": "20" } });
  const from = rig.clock.nowMs();
  rig.find(low(from));
  await rig.until("it was asked to wait", () => rig.deliveries()[0]?.answer === "429");
  await rig.until("it is accepted", settled, 500);
  expect(rig.deliveries()[0]!.acceptedMs! - from).toBeGreaterThanOrEqual(20_000);
  expect(service.requests).toHaveLength(2);
});

test.each([400, 413])("%i: our own defect, never tried again, and in the log", async (status) => {
  rig.setUp(service);
  rig.start();
  service.play(status);
  rig.find(low(rig.clock.nowMs()));
  await rig.until("it is refused", settled);
  expect(states()).toMatchObject([{ reason: "refused", attempts: 1 }]);
  expect(rig.log.join()).toContain("our defect");
});

test.each([401, 403])("%i: the way is closed for all messages to that service, and said so", async (status) => {
  rig.setUp(service);
  const sending = rig.start();
  service.play(status);
  rig.find(low(rig.clock.nowMs()));
  await rig.until("it was not let in", () => rig.deliveries()[0]?.answer === String(status));
  expect(sending.trouble()).toMatchObject([{ service: service.origin, status }]);
  rig.find(low(rig.clock.nowMs() + 1));
  await rig.until("the other one waits", () => rig.deliveries()[1]?.answer === String(status), 10);
  expect(service.requests).toHaveLength(1);
  await rig.until("both are accepted once it lets us in", settled, 2_000);
  expect(states().every(({ accepted }) => accepted)).toBe(true);
  expect(sending.trouble()).toEqual([]);
});

test("5xx and a line that breaks: after 2, 10 and 30 s, then it is given up with its reason", async () => {
  rig.setUp(service);
  rig.start();
  service.play(500, "hang-up", 503, "hang-up");
  const from = rig.clock.nowMs();
  rig.find(low(from));
  await rig.until("it is given up", settled, 500);
  expect(states()).toEqual([{ accepted: false, shown: false, failed: true, reason: "unreachable", attempts: 4 }]);
  expect(rig.deliveries()[0]!.failedMs! - from).toBeGreaterThanOrEqual(42_000);
});

test("what has lost its worth is not sent, and what is sent late lives no longer than it should", async () => {
  const phone = rig.setUp(service);
  rig.find(low(rig.clock.nowMs()));
  rig.clock.advance(10 * 60_000);
  rig.find(low(rig.clock.nowMs() + 1, { label: "look" }));
  rig.clock.advance(2 * 60_000);
  rig.start();
  await rig.until("both are accepted", settled);
  expect(
    phone
      .stored()
      .map(({ headers }) => headers["ttl"])
      .sort(),
  ).toEqual(["180", "7080"]);
  await rig.close();
  rig = messageRig(service, authority);
  rig.setUp(service);
  rig.find(low(rig.clock.nowMs()));
  rig.clock.advance(15 * 60_000);
  rig.start();
  await rig.until("it has lost its worth", settled);
  expect(states()).toEqual([{ accepted: false, shown: false, failed: true, reason: "expired", attempts: 0 }]);
});

test("a service that keeps it for less is believed", async () => {
  rig.setUp(service);
  rig.start();
  service.play({ status: 201, headers: { TTL: "60" } });
  rig.find(low(rig.clock.nowMs()));
  await rig.until("it is accepted", settled);
  const [delivery] = rig.deliveries();
  expect(delivery!.expiresMs - delivery!.acceptedMs!).toBe(60_000);
});

test("each device of a person gets it", async () => {
  const [one, other] = [rig.setUp(service), rig.setUp(service)];
  rig.start();
  rig.find(low(rig.clock.nowMs(), { label: "look" }));
  await rig.until("both are accepted", settled);
  expect([one, other].map((phone) => phone.stored().length)).toEqual([1, 1]);
});

test("a device whose keys are none gets nothing, and all others go on", async () => {
  const phone = rig.setUp(service);
  const strange = { ...phone.subscription.keys, endpoint: `${service.origin}/p/9`, p256dh: "BAAA" };
  rig.data.messages.addDevice({ id: "odd", person: "lead", name: "Odd", secret: "s", address: strange, addedMs: 1 });
  rig.start();
  rig.find(low(rig.clock.nowMs()));
  await rig.until("both are settled", settled);
  expect(states().map(({ accepted, reason }) => [accepted, reason])).toEqual([
    [false, "refused"],
    [true, null],
  ]);
});
