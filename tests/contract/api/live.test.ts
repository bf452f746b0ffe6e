import { connect } from "node:net";
import { afterEach, expect, test } from "vitest";
import { endpoints } from "../../../api/contract/endpoints.ts";
import { eventually } from "../../eventually.ts";
import { as } from "./as.ts";
import { ask, post } from "./ask.ts";
import { livePage, refusedWith } from "./live-page.ts";
import { flagId, importedEntry, limitsEntry, plateau, runAt, shotEntries } from "./press-entries.ts";
import { type ApiOptions, type RunningApi, runningApi } from "./running-api.ts";

let api: RunningApi;
const quick = { valuesMs: 50, changesMs: 20, pingMs: 100 };

async function start(options: ApiOptions = { pace: quick }): Promise<RunningApi> {
  api = await runningApi({
    before: ({ journal }) => void journal.append([limitsEntry(), ...shotEntries(0, 0.9)]),
    ...options,
  });
  return api;
}
const write = (index: number, value: number): void => {
  api.data.journal.append(shotEntries(index, value));
  api.bus.announce("journal");
};
afterEach(async () => {
  expect(api.defects).toEqual([]);
  await api.stop();
});

test("a page is told where the journal stands, and then values that prove the stream lives", async () => {
  await start();
  const page = await livePage(api.url);
  const hello = await page.next("hello");
  expect(hello.seq).toBe(api.data.journal.lastSeq());
  expect(page.frames[0]).toEqual(hello);
  const values = await page.next("values");
  expect(values.freshness.map(({ station }) => station)).toEqual(api.site.stations.map(({ id }) => id));
  expect(Math.abs(Date.parse(values.now) - Date.now())).toBeLessThan(10_000);
  await page.close();
  await eventually("the page to be forgotten", () => api.liveClients() === 0);
});

test("values come at most once a second at the usual pace", async () => {
  await start({});
  const page = await livePage(api.url);
  await eventually("three values", () => page.frames.filter(({ type }) => type === "values").length >= 3);
  const times = page.frames.flatMap((frame) => (frame.type === "values" ? [Date.parse(frame.now)] : []));
  for (const [i, at] of times.entries()) if (i > 0) expect(at - (times[i - 1] ?? 0)).toBeGreaterThanOrEqual(950);
});

test("a new point and the flag it opened reach every page in one frame", async () => {
  await start();
  const pages = [await livePage(api.url), await livePage(api.url)];
  write(1, 0.85);
  for (const page of pages) {
    const changes = await page.next("changes");
    expect(changes.points.map(({ run }) => run)).toEqual([runAt(1, 0).run.id]);
    expect(changes.points[0]?.flag).toBe(flagId(1));
    expect(changes.flags).toMatchObject([{ id: flagId(1), state: "waiting" }]);
    expect(changes.seq).toBe(api.data.journal.lastSeq());
  }
});

test("a take in one session is seen by another", async () => {
  await start();
  write(1, 0.85);
  const other = await livePage(api.url);
  await ask(`${api.url}/api/flags/${flagId(1)}/take`, endpoints.take.answer, post({}, as("night-lead")));
  const changes = await other.next("changes", ({ flags }) => flags[0]?.state === "taken");
  expect(changes.flags).toMatchObject([{ id: flagId(1), taken: { by: "Night lead" } }]);
});

test("what another process wrote is seen as well, though it told nobody", async () => {
  await start();
  const page = await livePage(api.url);
  api.data.journal.append(shotEntries(1, 0.9));
  expect((await page.next("changes")).points.map(({ run }) => run)).toEqual([runAt(1, 0).run.id]);
});

test("a page that was away resumes where it was: every entry of the gap, once, up to the newest state", async () => {
  await start();
  const before = await livePage(api.url);
  write(1, 0.85);
  const { seq } = await before.next("changes");
  await before.close();
  for (let i = 2; i < 9; i++) write(i, 0.9);
  await ask(`${api.url}/api/flags/${flagId(1)}/take`, endpoints.take.answer, post({}, as("night-lead")));
  const back = await livePage(api.url, seq);
  const gap = await back.next("changes");
  expect(gap.points.map(({ subgroup }) => subgroup)).toEqual([2, 3, 4, 5, 6, 7, 8]);
  expect(gap.flags).toMatchObject([{ id: flagId(1), state: "taken" }]);
  write(9, 0.9);
  await back.next("changes", ({ points }) => points.some(({ subgroup }) => subgroup === 9));
  const all = back.frames.flatMap((frame) => (frame.type === "changes" ? frame.points : []));
  expect(all.map(({ subgroup }) => subgroup)).toEqual([2, 3, 4, 5, 6, 7, 8, 9]);
});

test("a page that was away too long is told to ask for everything anew", async () => {
  await start();
  api.data.journal.append(Array.from({ length: 1_001 }, (_, i) => shotEntries(i + 1, 0.9)).flat());
  api.bus.announce("journal");
  await eventually("the model to catch up", () => api.model.seq === api.data.journal.lastSeq());
  const page = await livePage(api.url, 1);
  const resync = await page.next("resync");
  expect(resync.seq).toBe(api.data.journal.lastSeq());
  write(1_002, 0.9);
  expect((await page.next("changes")).points.map(({ subgroup }) => subgroup)).toEqual([1_002]);
});

test("a page that knows more than the journal holds is told so", async () => {
  await start();
  const page = await livePage(api.url, api.data.journal.lastSeq() + 50);
  await page.next("resync");
});

test("limits put in force and runs imported name the characteristics to ask for anew", async () => {
  await start();
  const page = await livePage(api.url);
  api.data.journal.append([importedEntry(-3, 0.9)]);
  api.bus.announce("journal");
  const { limits, points } = await page.next("changes");
  expect(limits).toContain(plateau);
  expect(points).toEqual([]);
});

test("a page that stops reading is dropped, and others go on", async () => {
  // It is what waits unread that must drop it: both ends share this thread, and a quick ping would drop the good page too.
  const pace = { ...quick, pingMs: 10_000 };
  await start({ pace, budget: { skipBytes: 64 * 1024, dropBytes: 2 * 1024 * 1024, dropMs: 500 } });
  const good = await livePage(api.url);
  const { hostname, port } = new URL(api.url);
  const stalled = connect(Number(port), hostname);
  const closed = new Promise((resolve) => stalled.once("close", resolve));
  stalled.on("error", () => undefined);
  stalled.write(
    `GET /live HTTP/1.1\r\nHost: ${hostname}:${port}\r\nUpgrade: websocket\r\nConnection: Upgrade\r\n` +
      "Sec-WebSocket-Key: dGhlIHNhbXBsZSBub25jZQ==\r\nSec-WebSocket-Version: 13\r\n\r\n",
  );
  await eventually("both pages", () => api.liveClients() === 2);
  stalled.pause();
  const caughtUp = (): boolean => {
    const last = good.frames.findLast((frame) => frame.type === "changes" || frame.type === "resync");
    return last?.seq === api.data.journal.lastSeq();
  };
  // About 100 KB a frame, until the system's own buffers are full as well.
  for (let index = 1; api.liveClients() === 2 && index < 40_000; index += 300) {
    api.data.journal.append(Array.from({ length: 300 }, (_, i) => shotEntries(index + i, 0.9)).flat());
    api.bus.announce("journal");
    await eventually("the good page to have all", caughtUp);
  }
  await eventually("the stalled page to be dropped", () => api.liveClients() === 1);
  write(50_000, 0.9);
  await eventually("the good page to have all", caughtUp);
  stalled.resume();
  await closed;
});

test("a page that vanished without a word is given up after a ping", async () => {
  await start();
  // Reads on, but answers no ping.
  await livePage(api.url, undefined, { autoPong: false });
  expect(api.liveClients()).toBe(1);
  await eventually("the page to be given up", () => api.liveClients() === 0);
});

test.each([
  ["another path", "/other", {}, 404],
  ["another site's page", "/live", { origin: "http://elsewhere.example" }, 403],
  ["a place that is none", "/live?after=-1", {}, 400],
  ["a place in words", "/live?after=now", {}, 400],
])("an upgrade of %s is refused", async (_words, path, headers, status) => {
  await start();
  expect(await refusedWith(`${api.url.replace("http", "ws")}${path}`, headers)).toBe(status);
  expect(api.liveClients()).toBe(0);
});

test("a page that sends more than a page would is cut off, and the server goes on", async () => {
  await start();
  const page = await livePage(api.url);
  page.socket.on("error", () => undefined);
  page.socket.send("x".repeat(100_000));
  await eventually("the page to be cut off", () => api.liveClients() === 0);
  const next = await livePage(api.url);
  await next.next("values");
});

test("a server that stops tells its pages", async () => {
  await start();
  const page = await livePage(api.url);
  const closed = new Promise((resolve) => page.socket.once("close", resolve));
  await api.stop();
  expect(await closed).toBe(1001);
  await start();
});
