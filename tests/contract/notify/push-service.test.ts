import { request } from "node:https";
import { afterAll, beforeAll, expect, test } from "vitest";
import { encryptPush, MOST_PLAINTEXT } from "../../../collector/notify/push/encrypt.ts";
import { postPush } from "../../../collector/notify/push/post-push.ts";
import { type PushRequest, pushRequest } from "../../../collector/notify/push/push-request.ts";
import { newVapidKey, readVapidKey, type VapidSigner, vapidSigner } from "../../../collector/notify/push/vapid.ts";
import { type Phone, type PushService, pushService } from "./push-service.ts";
import { type ThrowAwayAuthority, throwAwayAuthority } from "./throw-away-authority.ts";

// A service that judges by the RFCs, over TLS with an authority of the test's own. It proves headers, cryptography and
// what we make of answers; it proves nothing of the phone makers' services.
let authority: ThrowAwayAuthority;
let service: PushService;
let phone: Phone;
const key = readVapidKey(newVapidKey());
const signer = vapidSigner(key, "mailto:process@ostrimvale.example");
const topic = "b".repeat(32);

beforeAll(async () => {
  authority = throwAwayAuthority();
  service = await pushService(authority);
  phone = service.subscribe(key.publicKey);
});

afterAll(async () => {
  await service?.close();
  authority?.remove();
});

function push(json: string, by: VapidSigner = signer, nowMs = Date.now()): PushRequest {
  return pushRequest(phone.subscription, { label: "act-now", topic, json }, by, nowMs);
}

async function answered(one: PushRequest): Promise<number | null> {
  return (await postPush([service.host], authority.authority)(one)).status;
}

const changed = (headers: Readonly<Record<string, string>>, without: readonly string[] = []): PushRequest => {
  const made = push("{}");
  const kept = Object.entries({ ...made.headers, ...headers }).filter(([name]) => !without.includes(name));
  return { ...made, headers: Object.fromEntries(kept) };
};

test("1, 2: what we send is taken and read by the phone alone; the same topic again leaves the newer one", async () => {
  expect(await answered(push('{"n":1}'))).toBe(201);
  expect(await answered(push('{"n":2}'))).toBe(201);
  expect(phone.stored()).toHaveLength(1);
  expect(phone.read(phone.stored()[0]!)).toEqual({ n: 2 });
  const { headers } = phone.stored()[0]!;
  expect(headers).toMatchObject({ ttl: "900", urgency: "high", topic, "content-encoding": "aes128gcm" });
});

test("3 to 5: without TTL, with two urgencies, with a topic of 33 characters it would be refused", async () => {
  expect(await answered(changed({}, ["TTL"]))).toBe(400);
  expect(await twoUrgencies()).toBe(400);
  expect(await answered(changed({ Topic: "b".repeat(33) }))).toBe(400);
});

test("6 to 8: without the server's token, with one for another service or for longer than a day", async () => {
  expect(await answered(changed({}, ["Authorization"]))).toBe(401);
  const elsewhere = {
    authorization: (_: string, nowMs: number) => signer.authorization("https://other.example", nowMs),
  };
  expect(await answered(push("{}", elsewhere))).toBe(403);
  const fast = vapidSigner(key, "mailto:process@ostrimvale.example");
  expect(await answered(push("{}", fast, Date.now() + 13 * 3_600_000))).toBe(403);
});

test("9, 10: the longest message is taken, and one byte more is refused, by the service and already by us", async () => {
  expect(MOST_PLAINTEXT).toBe(3993);
  expect(await answered(push("x".repeat(3993)))).toBe(201);
  expect(() => push("x".repeat(3994))).toThrow(RangeError);
  const body = Buffer.concat([encryptPush(Buffer.from("x".repeat(3993)), phone.subscription.keys, 0), Buffer.alloc(1)]);
  const headers = { ...push("{}").headers, "Content-Length": String(body.length) };
  expect(await answered({ url: phone.subscription.endpoint, headers, body })).toBe(413);
});

test("11 to 13: gone, unknown, and asked to wait are told apart", async () => {
  service.play(410, 404, { status: 429, headers: { "Retry-After": "2" } });
  expect(await answered(push("{}"))).toBe(410);
  expect(await answered(push("{}"))).toBe(404);
  expect(await postPush([service.host], authority.authority)(push("{}"))).toMatchObject({
    status: 429,
    retryAfter: "2",
  });
});

test.each([301, 302, 307, 308])(
  "a redirect, %i, is an answer like any other, and nobody goes after it",
  async (status) => {
    const seen = service.requests.length;
    service.play({ status, headers: { Location: phone.subscription.endpoint } });
    expect(await answered(push("{}"))).toBe(status);
    expect(service.requests).toHaveLength(seen + 1);
  },
);

test("another server's key is refused; a strange authority, a broken line and silence are no answer, with a reason", async () => {
  const other = readVapidKey(newVapidKey());
  expect(await answered(push("{}", vapidSigner(other, "mailto:other@ostrimvale.example")))).toBe(403);
  expect(await postPush([service.host])(push("{}"))).toMatchObject({
    status: null,
    words: expect.stringMatching(/CERT|ISSUER|SIGNATURE/),
  });
  service.play("hang-up");
  expect(await postPush([service.host], authority.authority)(push("{}"))).toMatchObject({
    status: null,
    words: "ECONNRESET",
  });
  service.play("silent");
  const before = performance.now();
  const silent = await postPush([service.host], authority.authority)(push("{}"));
  expect(silent).toMatchObject({ status: null, words: "no answer within 10 s" });
  expect(performance.now() - before).toBeGreaterThan(9_000);
});

test("nobody can use a subscription to reach into the plant", async () => {
  const reach = async (endpoint: string): Promise<string> => {
    const { headers, body } = push("{}");
    return (await postPush([], authority.authority)({ url: endpoint, headers, body })).words;
  };
  const seen = service.requests.length;
  expect(await reach(phone.subscription.endpoint)).toMatch(/no public address/);
  expect(await reach(phone.subscription.endpoint.replace("localhost", "127.0.0.1"))).toBe("not a public https address");
  expect(await reach("https://[::1]/p/1")).toBe("not a public https address");
  expect(await reach("http://push.example/p/1")).toBe("not a public https address");
  expect(service.requests).toHaveLength(seen);
});

/** Header lines as no sender of ours could write them. */
function twoUrgencies(): Promise<number | undefined> {
  const { url, headers, body } = push("{}");
  return new Promise((resolve, reject) => {
    const sent = request(url, { method: "POST", ca: authority.authority, agent: false }, (answer) => {
      answer.resume();
      resolve(answer.statusCode);
    });
    sent.on("error", reject);
    for (const [name, value] of Object.entries(headers)) {
      sent.setHeader(name, name === "Urgency" ? ["high", "low"] : value);
    }
    sent.end(body);
  });
}
