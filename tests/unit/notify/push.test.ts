import { expect, test } from "vitest";
import { pushOutcome } from "../../../collector/notify/push/push-answer.ts";
import { pushRequest } from "../../../collector/notify/push/push-request.ts";
import { newVapidKey, readVapidKey, vapidSigner } from "../../../collector/notify/push/vapid.ts";
import { MOST_TITLE, messageText } from "../../../spc/notify/message-text.ts";

const nowMs = Date.UTC(2026, 10, 25, 8);

test.each([
  [201, null, 0, { kind: "accepted" }],
  [202, null, 0, { kind: "accepted" }],
  [404, null, 0, { kind: "gone" }],
  [410, null, 2, { kind: "gone" }],
  [400, null, 0, { kind: "our-fault", status: 400 }],
  [413, null, 0, { kind: "our-fault", status: 413 }],
  [301, null, 0, { kind: "our-fault", status: 301 }],
  [401, null, 0, { kind: "not-allowed", status: 401 }],
  [403, null, 0, { kind: "not-allowed", status: 403 }],
  [429, "120", 0, { kind: "again", afterMs: 120_000 }],
  [429, new Date(nowMs + 45_000).toUTCString(), 1, { kind: "again", afterMs: 45_000 }],
  [429, "soon", 0, { kind: "again", afterMs: 2_000 }],
  [429, "999999", 0, { kind: "again", afterMs: 3_600_000 }],
  [500, null, 0, { kind: "again", afterMs: 2_000 }],
  [503, null, 1, { kind: "again", afterMs: 10_000 }],
  [null, null, 2, { kind: "again", afterMs: 30_000 }],
  [null, null, 3, null],
] as const)("answer %j with Retry-After %j at attempt %j means %j", (status, retryAfter, attempt, expected) => {
  expect(pushOutcome(status, retryAfter, attempt, nowMs)).toEqual(expected);
});

const subscription = {
  endpoint: "https://push.example.net/p/1",
  keys: {
    p256dh: "BCVxsr7N_eNgVRqvHtD0zTZsEc6-VV-JvLexhqUzORcxaOzi6-AYWXvTBHm4bjyPjs7Vd8pZGH6SRpkNtoIAiw4",
    auth: "BTBZMqHH6r4Tts7J_aSIgg",
  },
};

test("an act-now message is urgent and lives a quarter of an hour, a review one is neither", () => {
  const signer = vapidSigner(readVapidKey(newVapidKey()), "mailto:plant@example.com");
  const request = (label: "act-now" | "for-review") =>
    pushRequest(subscription, { label, topic: "Zmxh", json: "{}" }, signer, nowMs).headers;
  expect(request("act-now")).toMatchObject({ TTL: "900", Urgency: "high", Topic: "Zmxh", "Content-Length": "2151" });
  expect(request("for-review")).toMatchObject({ TTL: "43200", Urgency: "low", "Content-Encoding": "aes128gcm" });
  const long = { label: "act-now", topic: "x".repeat(33), json: "{}" } as const;
  expect(() => pushRequest(subscription, long, signer, nowMs)).toThrow(RangeError);
});

const parts = {
  label: "act-now",
  station: "Pour 2",
  says: "metal too cold",
  value: "1368 C, low limit 1385",
  run: "Run 0417 flask 12",
  time: "02:14",
  doFirst: "Hold the pour, check tap temp.",
  untaken: null,
  flood: false,
  signals: 3,
  reference: "417",
  trial: false,
} as const;

test("a message says what is wrong and where first, then the value, then what to do", () => {
  expect(messageText(parts)).toEqual({
    title: "ACT NOW Pour 2: metal too cold",
    body: "1368 C, low limit 1385\nRun 0417 flask 12, 02:14\nHold the pour, check tap temp.\n3 signals\nRef 417",
  });
  expect(messageText({ ...parts, untaken: { minutes: 15, others: 2 }, signals: 1 }).body).toBe(
    "1368 C, low limit 1385\nRun 0417 flask 12, 02:14\nHold the pour, check tap temp.\nNot taken for 15 min, 2 more wait\nRef 417",
  );
  expect(messageText({ ...parts, flood: true, doFirst: null, signals: 1 }).body).toBe(
    "1368 C, low limit 1385\nRun 0417 flask 12, 02:14\n10 messages in 10 min: see the Floor for more\nRef 417",
  );
  expect(messageText({ ...parts, trial: true }).title).toBe("TEST ACT NOW Pour 2: metal too cold");
  expect(messageText({ ...parts, value: null, doFirst: null, signals: 1 }).body).toBe(
    "Run 0417 flask 12, 02:14\nRef 417",
  );
});

test("a long title is cut at its end, and says so", () => {
  const { title } = messageText({ ...parts, says: "first metal far below what the thin section needs" });
  expect(title.length).toBeLessThanOrEqual(MOST_TITLE);
  expect(title).toMatch(/^ACT NOW Pour 2: first metal far.*[a-z]\.\.\.$/);
});
