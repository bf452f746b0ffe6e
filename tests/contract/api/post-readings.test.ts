import { afterEach, beforeEach, expect, test } from "vitest";
import { countsSchema, postedSchema } from "../../../api/contract/wire.ts";
import { ask, askProblem, post as posted } from "./ask.ts";
import { type RunningApi, runningApi } from "./running-api.ts";

/** A sender that says nothing of who it is, as on this machine it need not. */
const post = (body: unknown, headers = {}): RequestInit => posted(body, headers);

let api: RunningApi;
let url: string;
beforeEach(async () => {
  api = await runningApi();
  url = `${api.url}/api/readings`;
});
afterEach(async () => {
  expect(api.defects).toEqual([]);
  await api.stop();
});

const t = Math.floor(Date.now() / 1000) * 1000 - 60_000;
const reading = (afterMs: number, more: object = {}) => ({
  ...{ series: "PR-01/pressure", t: t + afterMs, value: 0.7, unit: "bar", ...more },
});
const readings = (...list: readonly object[]) => ({ v: 1, kind: "readings", source: "GW-PR", seq: 1, readings: list });
const counts = () => ask(`${api.url}/api/counts`, countsSchema);

test("readings are on disk when they are answered, and the same again is there already", async () => {
  let announced = 0;
  api.bus.on("samples", () => {
    announced += 1;
  });
  const body = post(readings(reading(0), reading(50, { value: 70, unit: "kPa" })));
  expect(await ask(url, postedSchema, body)).toEqual({ stored: 2, duplicate: 0, late: 0, quarantined: 0, refused: [] });
  expect(await ask(url, postedSchema, body)).toEqual({ stored: 0, duplicate: 2, late: 0, quarantined: 0, refused: [] });
  const kept = api.data.samples.read({ series: "PR-01/pressure", fromMs: t, toMs: t + 1000 });
  expect(kept.map(({ tMs, value }) => [tMs - t, value])).toEqual([
    [0, 0.7],
    [50, expect.closeTo(0.7, 12)],
  ]);
  expect(await counts()).toMatchObject({ received: 4, acknowledged: 4, stored: 2, duplicate: 2, quarantined: 0 });
  expect(announced).toBe(2);
});

test("events and waveforms come in the same way", async () => {
  const event = { v: 1, kind: "event", source: "GW-PR", series: "PR-01/step", t, value: 1 };
  expect(await ask(url, postedSchema, post(event))).toMatchObject({ stored: 1 });
  const axes = { "CT-A1/vibration-x": Buffer.alloc(4000, 7).toString("base64") };
  const waveform = { v: 1, kind: "waveform", source: "GW-CT", t, rateHz: 2000, unit: "[g]", scale: 0.001, axes };
  expect(await ask(url, postedSchema, post(waveform))).toMatchObject({ stored: 1, quarantined: 0 });
});

test("what is wrong is told with its place and stands in quarantine, and the rest is kept", async () => {
  const body = post(readings(reading(0), reading(50, { unit: "Cel" }), reading(100, { series: "PR-99/pressure" })));
  const answer = await ask(url, postedSchema, body);
  expect(answer).toMatchObject({ stored: 1, duplicate: 0, quarantined: 2 });
  expect(answer.refused.map(({ code, place }) => [code, place])).toEqual([
    ["unknown-unit", "/readings/1/unit"],
    ["unknown-series", "/readings/2/series"],
  ]);
  expect(api.data.samples.quarantine({ limit: 9 }).map(({ topic, code }) => [topic, code])).toEqual([
    ["POST /api/readings", "unknown-unit"],
    ["POST /api/readings", "unknown-series"],
  ]);
});

test.each([
  ["no JSON", "{", "not-json"],
  ["nothing", "", "not-json"],
  ["a list", "[]", "not-an-object"],
  ["another version", JSON.stringify({ ...readings(reading(0)), v: 2 }), "unknown-version"],
  ["another kind", JSON.stringify({ ...readings(), kind: "song" }), "unknown-kind"],
  ["an unknown source", JSON.stringify({ ...readings(reading(0)), source: "GW-XX" }), "wrong-source"],
  ["1e400", JSON.stringify(readings(reading(0))).replace("0.7", "1e400"), "not-a-number"],
])("a body with %s is a problem that says so, and is counted", async (_, body, code) => {
  const init = { method: "POST", body, headers: { "content-type": "application/json" } };
  const problem = await askProblem(url, 400, init);
  expect(problem).toMatchObject({ code: "nothing-taken", errors: [{ found: code }] });
  const { received, stored, quarantined } = await counts();
  expect({ received, stored, quarantined }).toEqual({ received: 1, stored: 0, quarantined: 1 });
});

test("a body over 1 MiB is refused unread, and one just below is taken", async () => {
  const long = { ...readings(reading(0)), note: "x".repeat(1_048_576) };
  expect(await askProblem(url, 413, post(long))).toMatchObject({ code: "body-too-large" });
  expect(await counts()).toMatchObject({ received: 0 });
  const fits = { ...long, note: "x".repeat(1_048_576 - 400) };
  expect(await ask(url, postedSchema, post(fits))).toMatchObject({ stored: 1 });
});

test("another site's page, another type and a query are refused, and nothing is counted", async () => {
  const foreign = post(readings(reading(0)), { origin: "https://elsewhere.example" });
  expect(await askProblem(url, 403, foreign)).toMatchObject({ code: "foreign-origin" });
  const form = { method: "POST", body: "v=1", headers: { "content-type": "text/plain" } };
  expect(await askProblem(url, 415, form)).toMatchObject({ code: "not-json" });
  expect(await askProblem(`${url}?x=1`, 400, post(readings(reading(0))))).toMatchObject({ code: "bad-request" });
  const put = await askProblem(url, 405, { ...post({}), method: "PUT" });
  expect(put.code).toBe("method-not-allowed");
  expect(await counts()).toMatchObject({ received: 0 });
});

test("when too many bodies wait, the next is told to come again, and all that were taken are on disk", async () => {
  const list = (n: number) => readings(...Array.from({ length: 2000 }, (_, i) => reading(-50 * (2000 * n + i))));
  const answers = await Promise.all(Array.from({ length: 80 }, (_, n) => fetch(url, post(list(n)))));
  const statuses = answers.map(({ status }) => status);
  expect([...new Set(statuses)].sort()).toEqual([200, 503]);
  const busy = answers.find(({ status }) => status === 503)!;
  expect(busy.headers.get("retry-after")).toBe("1");
  expect(await busy.json()).toMatchObject({ code: "too-busy", status: 503 });
  const taken = statuses.filter((status) => status === 200).length;
  expect(await counts()).toMatchObject({ received: 2000 * taken, stored: 2000 * taken });
});

test("a store that cannot keep it is a 503, and nothing is kept or counted", async () => {
  const full = "no room left";
  const { samples } = api.data;
  const commit = samples.commit;
  const { Fault } = await import("../../../collector/platform/fault.ts");
  Object.assign(samples, {
    commit: () => {
      throw new Fault("disk-full", full, { retryable: true });
    },
  });
  const problem = await askProblem(url, 503, post(readings(reading(0))));
  expect(problem).toMatchObject({ code: "not-ready", errors: [{ place: "store", found: full }] });
  Object.assign(samples, { commit });
  expect(await ask(url, postedSchema, post(readings(reading(0))))).toMatchObject({ stored: 1, duplicate: 0 });
});
