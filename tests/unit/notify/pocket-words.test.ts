import { expect, test } from "vitest";
import type { WireDelivery } from "../../../api/contract/message-wire.ts";
import { deviceState } from "../../../api/read-model/messages.ts";
import type { Delivery, Device } from "../../../collector/store/message-book.ts";
import { type CardView, pushedCard, stateWords } from "../../../dashboard/pocket/card-view.ts";
import type { KeptCard, KeptTake } from "../../../dashboard/pocket/pocket-store.ts";
import { reasonAgainst, type Surroundings, subscribeFailed } from "../../../dashboard/pocket/set-up-reason.ts";
import { trialSteps, trialVerdict } from "../../../dashboard/pocket/trial-words.ts";
import { pushedOf } from "../../../dashboard/pocket/worker/pushed-of.ts";

const good: Surroundings = {
  ...{ secure: true, worker: true, push: true, needsInstalling: false, installed: false },
  ...{ permission: "default", on: true, persons: 1 },
};

test.each([
  ["insecure", { secure: false, worker: false, push: false }],
  ["no-worker", { worker: false }],
  ["no-push", { push: false }],
  ["not-installed", { needsInstalling: true, push: false }],
  ["messages-off", { on: false }],
  ["nobody", { persons: 0 }],
  ["not-allowed", { permission: "denied" }],
] as const)("%s is told as that, with what to do", (code, change) => {
  const reason = reasonAgainst({ ...good, ...change });
  expect(reason?.code).toBe(code);
  expect(reason?.words).toMatch(/\.$/);
  expect(reason?.doThis).toMatch(/\.$/);
});

test("nothing in the way is no reason, and no two reasons have the same words", () => {
  expect(reasonAgainst(good)).toBeNull();
  expect(reasonAgainst({ ...good, needsInstalling: true, installed: true })).toBeNull();
  expect(subscribeFailed("NotAllowedError", "").code).toBe("not-allowed");
  expect(subscribeFailed("AbortError", "push service error")).toMatchObject({
    code: "phone-cannot-reach",
    words: expect.stringContaining("push service error"),
  });
});

const at = "2026-11-25T02:14:00.000Z";
const queued: WireDelivery = {
  ...{ device: "a", deviceName: "Phone", state: "queued", queuedAt: at, sentAt: null, attempts: 0, answer: null },
  ...{ againAt: at, acceptedAt: null, shownAt: null, openedAt: null, failedAt: null, reason: null },
};

test("each state has its own time, and accepted never reads as shown", () => {
  const accepted: WireDelivery = { ...queued, state: "accepted", acceptedAt: at };
  expect(trialSteps(accepted).map(({ state, at: when }) => [state, when])).toEqual([
    ["queued", at],
    ["accepted", at],
    ["shown", null],
    ["opened", null],
  ]);
  expect(trialVerdict(accepted, 9_000)).toBeNull();
  expect(trialVerdict(accepted, 10_000)).toMatch(/has not shown it within 10 s/);
  expect(trialVerdict({ ...accepted, shownAt: at }, 0)).toBe("This phone shows messages.");
});

test.each([
  [{ answer: "ENOTFOUND" }, /cannot reach the push service \(ENOTFOUND\).*tried again/],
  [{ answer: "503" }, /answered 503.*tried again/],
  [{ failedAt: at, reason: "gone" as const }, /device is no more/],
  [{ failedAt: at, reason: "refused" as const }, /defect of ours/],
  [{ failedAt: at, reason: "not-allowed" as const, answer: "403" }, /does not let this server in \(403\)/],
  [{ failedAt: at, reason: "unreachable" as const, answer: "ECONNREFUSED" }, /cannot reach the push service/],
  [{ failedAt: at, reason: "expired" as const }, /not be sent in time/],
] as const)("what went wrong is told in its own words: %j", (change, words) => {
  expect(trialVerdict({ ...queued, ...change }, 0)).toMatch(words);
});

test("nothing at all within 10 s is told too", () => {
  expect(trialVerdict(queued, 5_000)).toBeNull();
  expect(trialVerdict(queued, 10_000)).toMatch(/No answer from the push service within 10 s/);
  expect(trialVerdict(null, 10_000)).toMatch(/not begun/);
});

const kept: KeptCard = {
  flag: "PO-A:pour.stream:1",
  receivedMs: 1,
  shownMs: 1,
  data: {
    ...{ message: "m", device: "d", token: "t", flag: "PO-A:pour.stream:1", label: "act-now", quiet: false },
    card: {
      ...{ number: 7, station: "PO-A", characteristic: "PO-A:pour.stream", says: "metal too cold", value: "715.2 C" },
      ...{ against: "spec from 738.0", run: "Pour OFW-2107", runId: "PO-A:1", atMs: 1, time: "02:14" },
      ...{ doFirst: "Re-dip.", signals: 2 },
    },
  },
};
const take: KeptTake = {
  ...{ flag: kept.flag, by: "Early lead", pressedMs: 1, state: "not-sent", why: null, answeredMs: null },
};

test("a card from the push says what it knows, and claims nothing that it does not", () => {
  const view = pushedCard(kept);
  expect(view).toMatchObject({ value: "715.2", unit: "°C", about: "Pour OFW-2107 · 2 signals", fromPush: true });
  expect(stateWords(view, undefined)).toMatchObject({ words: expect.stringMatching(/plant not reached/) });
  expect(stateWords(view, take)).toEqual({
    words: "Not sent yet. It will be sent when there is a connection.",
    offersTake: false,
  });
  expect(stateWords(view, { ...take, state: "sent" }).words).toBe("sent: taken by Early lead");
  const refused = stateWords(view, { ...take, state: "refused", why: "night lead took this" });
  expect(refused).toEqual({ words: "Not taken: night lead took this", offersTake: false });
});

test("what the plant says outweighs what the phone remembers", () => {
  const live: CardView = { ...pushedCard(kept), fromPush: false, taken: { by: "night lead", at: "02:15" } };
  expect(stateWords(live, take)).toEqual({ words: "taken by night lead 02:15", offersTake: false });
  expect(stateWords({ ...live, taken: null }, undefined)).toEqual({ words: "not yet taken", offersTake: true });
  expect(stateWords({ ...live, done: true }, undefined)).toEqual({ words: "done", offersTake: false });
});

test.each([null, 3, "text", {}, { notification: {} }, { notification: { title: "a", body: "b", tag: "c", data: {} } }])(
  "a push that is none of ours is none: %j",
  (content) => {
    expect(pushedOf(content)).toBeNull();
  },
);

test("a device is ok by what it showed, doubtful after two accepted ones unseen, and gone when it is", () => {
  const device = { address: {} } as unknown as Device;
  const nowMs = 1_000_000_000;
  const one = (shownMs: number | null, acceptedMs: number | null = nowMs - 200_000) =>
    ({ acceptedMs, shownMs }) as unknown as Delivery;
  expect(deviceState(device, [], nowMs)).toBe("doubtful");
  expect(deviceState(device, [one(nowMs)], nowMs)).toBe("ok");
  expect(deviceState(device, [one(null), one(nowMs)], nowMs)).toBe("ok");
  expect(deviceState(device, [one(null), one(null), one(nowMs)], nowMs)).toBe("doubtful");
  // One that had no time yet to be shown says nothing.
  expect(deviceState(device, [one(null, nowMs - 1_000), one(null), one(nowMs)], nowMs)).toBe("ok");
  expect(deviceState({ ...device, address: null }, [one(nowMs)], nowMs)).toBe("gone");
});
