import { afterAll, beforeAll, expect, test } from "vitest";
import {
  deviceSchema,
  messageSchema,
  messageSetUpSchema,
  reportedSchema,
  subscribedSchema,
} from "../../../api/contract/message-wire.ts";
import { listSchema } from "../../../api/contract/wire.ts";
import { hashPin } from "../../../api/people/pin.ts";
import { messageWords } from "../../../collector/start.ts";
import { phoneKeys } from "../notify/decrypt-push.ts";
import { ask, askProblem, post } from "./ask.ts";
import { type RunningApi, runningApi } from "./running-api.ts";

let api: RunningApi;
let endpoints = 0;

beforeAll(async () => {
  const person = { role: "process-engineer" as const, labels: ["act-now" as const], hours: "always" };
  api = await runningApi({
    publicKey: "BKey",
    persons: [
      { id: "lead", name: "Early lead", pin: await hashPin("1234"), ...person },
      { id: "engineer", name: "Process engineer", pin: await hashPin("5678"), ...person },
      { id: "caster", name: "Caster", ...person },
    ],
  });
});
afterAll(() => api.stop());

const subscription = () => {
  const { p256dh, auth } = phoneKeys();
  endpoints += 1;
  return { endpoint: `https://push.example/p/${endpoints}`, keys: { p256dh, auth } };
};
const body = (change = {}) => ({ by: "lead", pin: "1234", name: "Phone", subscription: subscription(), ...change });
const subscribe = (change = {}) => ask(`${api.url}/api/subscriptions`, subscribedSchema, post(body(change)));
const path = (message: string, what = "") => `${api.url}/api/messages/${encodeURIComponent(message)}${what}`;
const token = (secret: string, message: string) =>
  messageWords(api.site).token({ secret } as Parameters<ReturnType<typeof messageWords>["token"]>[0], message);

test("a page learns whether messages leave, the key, and who may be sent some; never a PIN", async () => {
  const setUp = await ask(`${api.url}/api/messages/set-up`, messageSetUpSchema);
  expect(setUp).toMatchObject({ on: true, publicKey: "BKey", trouble: [] });
  expect(setUp.persons.map(({ id, hasPin }) => [id, hasPin])).toEqual([
    ["lead", true],
    ["engineer", true],
    ["caster", false],
  ]);
  expect(JSON.stringify(setUp)).not.toContain("argon2");
});

test("a device is set up with a person's PIN; the same one again stays one; it starts out doubtful", async () => {
  const same = subscription();
  const first = await subscribe({ subscription: same });
  expect(first.device).toMatchObject({ person: "lead", name: "Phone", state: "doubtful", lastShownAt: null });
  const again = await subscribe({ subscription: same, name: "My phone" });
  expect(again).toMatchObject({ secret: first.secret, device: { id: first.device.id, name: "My phone" } });
  const list = await ask(`${api.url}/api/subscriptions?person=lead`, listed());
  expect(list.items.filter(({ id }) => id === first.device.id)).toHaveLength(1);
  expect(JSON.stringify(list)).not.toMatch(/push\.example|secret/);
});

test.each([
  [403, "wrong-pin", { pin: "9999" }],
  [403, "no-pin", { by: "caster" }],
  [403, "unknown-person", { by: "nobody" }],
  [400, "bad-request", { name: " " }],
  [400, "bad-request", { subscription: { endpoint: "http://push.example/1", keys: { p256dh: "BA", auth: "AA" } } }],
] as const)("a wrong subscription is refused: %i %s", async (status, code, change) => {
  expect(await askProblem(`${api.url}/api/subscriptions`, status, post(body(change)))).toMatchObject({ code });
});

test("keys that are none of the curve are refused before anything is sealed with them", async () => {
  const off = Buffer.from(phoneKeys().p256dh, "base64url");
  off[40]! ^= 1;
  const keys = { p256dh: off.toString("base64url"), auth: "A".repeat(22) };
  const strange = { endpoint: "https://push.example/odd", keys };
  const problem = await askProblem(`${api.url}/api/subscriptions`, 400, post(body({ subscription: strange })));
  expect(problem.errors).toMatchObject([{ place: "body/subscription/keys/p256dh" }]);
});

test("a trial asks for the device's secret, is queued, and only the token of the push itself reports it shown", async () => {
  const { device, secret } = await subscribe();
  const wrong = { device: device.id, secret: "x".repeat(32) };
  expect(await askProblem(`${api.url}/api/messages/test`, 403, post(wrong))).toMatchObject({ code: "not-your-device" });
  const message = await ask(`${api.url}/api/messages/test`, messageSchema, post({ device: device.id, secret }));
  expect(message).toMatchObject({ why: "trial", flag: null, title: expect.stringMatching(/^TEST /) });
  // No sender runs beside this api: the row that it would make is made here.
  const queuedMs = Date.parse(message.queuedAt);
  api.data.messages.queue([{ message: message.id, device: device.id, queuedMs, expiresMs: queuedMs + 120_000 }]);
  const report = (by: { readonly device: string; readonly token: string }) =>
    askProblem(path(message.id, "/shown"), 403, post(by));
  const good = { device: device.id, token: token(secret, message.id) };
  expect(await report({ ...good, token: token(secret, "another") })).toMatchObject({ code: "wrong-token" });
  expect(await report({ ...good, device: "another" })).toMatchObject({ code: "wrong-token" });
  expect(await ask(path(message.id), messageSchema)).toMatchObject({
    deliveries: [{ state: "queued", shownAt: null }],
  });
  const shown = await ask(path(message.id, "/shown"), reportedSchema, post(good));
  expect(shown).toEqual({ shownAt: expect.any(String), openedAt: null });
  expect((await ask(path(message.id, "/shown"), reportedSchema, post(good))).shownAt).toBe(shown.shownAt);
  await ask(path(message.id, "/opened"), reportedSchema, post(good));
  const [ledger] = (await ask(`${api.url}/api/messages`, listSchema(messageSchema))).items;
  expect(ledger).toMatchObject({ id: message.id, personName: "Early lead", deliveries: [{ state: "opened" }] });
  const list = await ask(`${api.url}/api/subscriptions?person=lead`, listed());
  expect(list.items.find(({ id }) => id === device.id)).toMatchObject({ state: "ok" });
  expect((await fetch(path(message.id, "/shown"))).status).toBe(405);
});

test("a phone is tried at most six times a minute", async () => {
  const { device, secret } = await subscribe();
  const once = () => fetch(`${api.url}/api/messages/test`, post({ device: device.id, secret }));
  const answers = [];
  for (let n = 0; n < 7; n += 1) answers.push(await once());
  expect(answers.map(({ status }) => status)).toEqual([200, 200, 200, 200, 200, 200, 429]);
  expect(Number(answers.at(-1)?.headers.get("retry-after"))).toBeGreaterThan(0);
});

test("a person takes a device off with the PIN, another's is refused, and nothing is sent there again", async () => {
  const { device, secret } = await subscribe();
  const remove = `${api.url}/api/subscriptions/${device.id}/remove`;
  const other = post({ by: "engineer", pin: "5678" });
  expect(await askProblem(remove, 403, other)).toMatchObject({ code: "not-your-device" });
  const gone = await ask(remove, deviceSchema, post({ by: "lead", pin: "1234" }));
  expect(gone).toMatchObject({ state: "gone", goneWhy: "person" });
  const trial = post({ device: device.id, secret });
  expect(await askProblem(`${api.url}/api/messages/test`, 409, trial)).toMatchObject({ code: "device-gone" });
  expect(
    await askProblem(`${api.url}/api/subscriptions/none/remove`, 404, post({ by: "lead", pin: "1234" })),
  ).toMatchObject({ code: "unknown-device" });
});

test("pages of the ledger follow one another without gap or repeat", async () => {
  const first = await ask(`${api.url}/api/messages?limit=3`, listSchema(messageSchema));
  const second = await ask(`${api.url}/api/messages?limit=3&after=${first.next}`, listSchema(messageSchema));
  const ids = [...first.items, ...second.items].map(({ id }) => id);
  expect(new Set(ids).size).toBe(6);
  expect((await askProblem(`${api.url}/api/messages/none`, 404)).code).toBe("unknown-message");
});

test("where the settings name no contact nothing can be set up, and it is said why", async () => {
  const off = await runningApi({ persons: api.site.persons });
  expect(await ask(`${off.url}/api/messages/set-up`, messageSetUpSchema)).toMatchObject({ on: false, publicKey: null });
  expect(await askProblem(`${off.url}/api/subscriptions`, 409, post(body()))).toMatchObject({ code: "messages-off" });
  await off.stop();
});

function listed() {
  return listSchema(deviceSchema).omit({ next: true });
}
