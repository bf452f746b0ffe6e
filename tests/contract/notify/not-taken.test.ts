import { afterAll, afterEach, beforeAll, beforeEach, expect, test } from "vitest";
import { low, type MessageRig, messageRig } from "./message-rig.ts";
import { type PushService, pushService } from "./push-service.ts";
import { type ThrowAwayAuthority, throwAwayAuthority } from "./throw-away-authority.ts";

// A flag that nobody takes travels; router and journal are made anew at each look, so a restart tells nobody twice.

const minuteMs = 60_000;
let authority: ThrowAwayAuthority;
let service: PushService;
let rig: MessageRig;

beforeAll(() => {
  authority = throwAwayAuthority();
});
afterAll(() => authority?.remove());
beforeEach(async () => {
  service = await pushService(authority);
  rig = messageRig(service, authority, {
    more: ["{ id: manager, name: Works manager, labels: [act-now], after: 15 min }"],
  });
});
afterEach(async () => {
  await rig.close();
  await service.close();
});

const told = () => rig.messages().map(({ person, why }) => `${person} ${why}`);
/** Looks once a second, as the product does. */
const wait = (minutes: number): void => {
  for (let ms = 0; ms < minutes * minuteMs; ms += 15_000) rig.wait(15_000);
};
const decide = (kind: "taken" | "done"): void => {
  const flag = rig.messages()[0]!.flag!;
  const body = { flag, by: "Early lead", atMs: rig.clock.nowMs() };
  const about = { id: `${flag}/${kind}`, station: "PR-01", subject: flag, atMs: body.atMs };
  if (kind === "taken") rig.data.journal.append([{ ...about, kind, body }]);
  else rig.data.journal.append([{ ...about, kind, body: { ...body, cause: "trap", note: "" } }]);
};

test("an act-now flag that nobody takes is said again, then to whoever stands in, and says since when", () => {
  rig.find(low(rig.clock.nowMs()));
  expect(told()).toEqual(["lead opened"]);
  wait(5);
  expect(told()).toEqual(["lead opened", "lead again"]);
  expect(rig.messages()[1]!.body).toContain("\nNot taken for 5 min\n");
  wait(10);
  expect(told().slice(2).sort()).toEqual(["lead again", "manager opened"]);
  expect(rig.messages().find(({ person }) => person === "manager")!.body).toContain("\nNot taken for 15 min\n");
  wait(120);
  expect(told().filter((one) => one === "lead again")).toHaveLength(6);
  expect(told().filter((one) => one === "manager again")).toHaveLength(6);
});

test("from the moment that somebody takes it nobody is told again", () => {
  rig.find(low(rig.clock.nowMs()));
  wait(7);
  decide("taken");
  wait(120);
  expect(told()).toEqual(["lead opened", "lead again"]);
});

test("whoever was told hears quietly that somebody has it, without a name, and only once", async () => {
  const phone = rig.setUp(service, "manager");
  rig.find(low(rig.clock.nowMs()));
  wait(16);
  decide("taken");
  rig.wait(1_000);
  const over = rig.messages().at(-1)!;
  expect([over.person, over.why, over.title]).toEqual(["manager", "over", "TAKEN PR-01: too low"]);
  expect(over.body).toMatch(/^Somebody has it since \d\d:\d\d\nRef 1$/);
  rig.start();
  await rig.until("it is accepted", () =>
    phone.stored().some((one) => phone.read(one).notification["title"] === over.title),
  );
  const last = phone.stored().find((one) => phone.read(one).notification["title"] === over.title)!;
  expect(last.headers["urgency"]).toBe("low");
  expect(phone.read(last).notification.data).toMatchObject({ quiet: true, flag: over.flag });
  wait(60);
  expect(rig.messages().at(-1)).toEqual(over);
});

test("what is worse meanwhile counts as said", () => {
  const atMs = rig.clock.nowMs();
  rig.find(low(atMs));
  wait(3);
  rig.find(low(atMs + 1, { flag: `PR-01:mold.plateau:PR-01:${atMs}`, value: 0.7 }));
  expect(told()).toEqual(["lead opened", "lead further"]);
  wait(2);
  expect(told()).toEqual(["lead opened", "lead further", "lead again"]);
  decide("done");
  wait(60);
  expect(told()).toHaveLength(3);
});

test("where several wait they take turns, and each message says how many more there are", () => {
  const atMs = rig.clock.nowMs();
  rig.find(low(atMs), low(atMs + 1), low(atMs + 2));
  expect(told()).toEqual(["lead opened", "lead opened", "lead opened"]);
  wait(14);
  const again = rig.messages().filter(({ why }) => why === "again");
  expect(again.map(({ queuedMs }) => Math.round((queuedMs - atMs) / minuteMs))).toEqual([5, 10]);
  expect(new Set(again.map(({ flag }) => flag)).size).toBe(2);
  for (const { body } of again) expect(body).toMatch(/\nNot taken for (5|10) min, 2 more wait\n/);
});

test("ten messages in ten minutes are the most, the last says so, and what was held back is told when there is room", () => {
  const atMs = rig.clock.nowMs();
  for (let n = 0; n < 14; n += 1) rig.find(low(atMs + n));
  expect(told()).toHaveLength(10);
  const last = rig.messages().filter(({ body }) => body.includes("10 messages in 10 min: see the Floor for more"));
  expect(last).toHaveLength(1);
  expect(last[0]!.card.number).toBe(10);
  wait(9);
  expect(told()).toHaveLength(10);
  wait(3);
  const flags = new Set(rig.messages().map(({ flag }) => flag));
  expect(flags.size).toBe(14);
});

test("after a stop of hours nobody is told of what opened before it", () => {
  rig.find(low(rig.clock.nowMs()));
  rig.wait(180 * minuteMs);
  wait(30);
  expect(told()).toEqual(["lead opened"]);
});
