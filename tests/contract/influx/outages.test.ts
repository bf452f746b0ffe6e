import { afterAll, afterEach, beforeAll, beforeEach, expect, test } from "vitest";
import { eventually } from "../../eventually.ts";
import { type InfluxServer, influxdb } from "../influxdb.ts";
import { pressure, reading } from "../store/incoming.ts";
import { accessTo, dayMs, type ForwardRig, forwardRig } from "./forward-rig.ts";
import { countsHere, countsThere } from "./same-counts.ts";
import { type TroubledProxy, troubledProxy, type Way } from "./troubled-proxy.ts";

const hourMs = 3_600_000;
const t0 = Date.UTC(2026, 4, 20);
const series = [pressure, "PR-02/pressure", "PR-01/temperature"];

let server: InfluxServer;
let proxy: TroubledProxy;
let rig: ForwardRig;
let database = 0;
beforeAll(async () => {
  server = await influxdb({ database: null });
}, 90_000);
afterAll(() => server.remove());
beforeEach(async () => {
  database += 1;
  await server.ask(`CREATE DATABASE "d${database}"`);
  proxy = await troubledProxy(server.url);
  rig = forwardRig(() => accessTo(proxy.url, { database: `d${database}` }));
});
afterEach(async () => {
  await rig.remove();
  await proxy.stop();
});

/** An hour of three instruments, one reading in ten seconds each; gives how many. */
function addHour(hour: number): number {
  const fromMs = t0 + hour * hourMs;
  const all = series.flatMap((name) =>
    Array.from({ length: 360 }, (_, i) => reading(fromMs + 10_000 * i, Math.round(1_000 * Math.sin(i)) / 1_000, name)),
  );
  rig.add(all);
  rig.store().settle("PR-01", fromMs);
  rig.store().settle("PR-02", fromMs);
  rig.store().sealSome();
  return all.length;
}

/** By series and day there is as much there as here, no less and no more. */
async function same(): Promise<void> {
  expect(await countsThere(server, `d${database}`)).toEqual(countsHere(rig.store()));
}

/** Waits until there are as many there, and holds them to be the same. */
async function allThere(count: number): Promise<void> {
  const there = async (): Promise<boolean> => {
    const [row] = await server.ask('SELECT count("mark") FROM "reading" WHERE time > 0', `d${database}`);
    return row?.["count"] === count;
  };
  await eventually("all is there again", there, 90_000, 200);
  await same();
}

test("a day of every trouble there is: all is taken in here, one chunk is on its way, and nothing is missing after it", async () => {
  const troubles: readonly Way[] = [
    { does: "break" },
    { does: "answer", status: 500, body: "engine: write /data/wal: no space left on device" },
    { does: "delay", ms: 30 },
    { does: "answer", status: 401, body: '{"error":"authorization failed"}' },
    { does: "answer", status: 503, body: "busy", retryAfter: "30" },
    { does: "lie", status: 201 },
    { does: "answer", status: 404, body: '{"error":"database not found: \\"d\\""}' },
    { does: "lie", status: 204 },
  ];
  rig.begin();
  let added = 0;
  for (let hour = 0; hour < 24; hour += 1) {
    proxy.way = troubles[Math.floor(hour / 3)]!;
    added += addHour(hour);
    await new Promise((resolve) => setTimeout(resolve, 60));
  }
  expect(rig.store().counts()).toMatchObject({ received: added, stored: added, quarantined: 0 });
  proxy.way = { does: "pass" };
  await rig.arrived();
  await same();
  expect(proxy.most.atOnce).toBe(1);
  expect(proxy.most.lines).toBeLessThanOrEqual(5_000);
  expect(rig.forwarder().status()).toMatchObject({ trouble: null, refusedLines: 0 });
}, 60_000);

test("what is wrong is said in words, told once, and over when it is over", async () => {
  addHour(0);
  proxy.way = { does: "answer", status: 401, body: '{"error":"authorization failed"}' };
  rig.begin();
  const told = () => rig.said().filter(({ code }) => code === "influx-refuses-us");
  await eventually("it is told", () => told().length === 1);
  expect(rig.forwarder().status().trouble).toMatchObject({ code: "influx-refuses-us" });
  await eventually("tried again and again", () => proxy.writes.length > 4);
  expect(told()).toHaveLength(1);
  expect(JSON.stringify(rig.said())).not.toContain("Authorization");
  proxy.way = { does: "pass" };
  await rig.arrived();
  expect(rig.forwarder().status()).toMatchObject({ trouble: null, lastTrouble: { code: "influx-refuses-us" } });
  expect(rig.said().some(({ msg }) => msg === "the long-term store works again")).toBe(true);
}, 60_000);

test("Retry-After is waited for, in seconds", async () => {
  addHour(0);
  proxy.way = { does: "answer", status: 429, body: "slow down", retryAfter: "600" };
  rig.begin();
  await eventually("it was told to wait", () => rig.forwarder().status().trouble?.code === "influx-busy");
  await eventually("it came again", () => proxy.writes.length > 1);
  // 600 s on a clock that goes a thousand times as fast; a client that took them for milliseconds would come at once.
  expect(proxy.writes[1]! - proxy.writes[0]!).toBeGreaterThan(590);
}, 60_000);

test.each(["while it was away", "while it answered"])(
  "a store that was wiped %s gets all of it again",
  async (when) => {
    let added = 0;
    for (let hour = 0; hour < 26; hour += 1) added += addHour(hour);
    rig.begin();
    await rig.arrived();
    if (when === "while it was away") proxy.way = { does: "break" };
    await server.ask(`DROP DATABASE "d${database}"`);
    await server.ask(`CREATE DATABASE "d${database}"`);
    added += addHour(26);
    proxy.way = { does: "pass" };
    await allThere(added);
  },
  120_000,
);

test("a store that was restored from an old backup gets what came since", async () => {
  let added = 0;
  for (let hour = 0; hour < 3; hour += 1) added += addHour(hour);
  rig.begin();
  await rig.arrived();
  await server.stop();
  server.keepCopy();
  await server.start();
  for (let hour = 3; hour < 27; hour += 1) added += addHour(hour);
  await rig.arrived();
  await server.kill();
  server.putBack();
  await server.start();
  await allThere(added);
  expect(rig.forwarder().status().shortDays).toBeGreaterThan(1);
}, 120_000);

test("a store that stands still holds nothing up, and is gone on with", async () => {
  rig.begin();
  addHour(0);
  await rig.arrived();
  server.pause();
  let added = 3 * 360;
  for (let hour = 1; hour < 8; hour += 1) added += addHour(hour);
  expect(rig.store().counts().stored).toBe(added);
  server.resume();
  await rig.arrived();
  await same();
}, 60_000);

test("readings that its retention policy lets go are no trouble, and are said", async () => {
  await server.ask(
    `CREATE RETENTION POLICY "week" ON "d${database}" DURATION 7d REPLICATION 1 SHARD DURATION 1h DEFAULT`,
  );
  await rig.remove();
  rig = forwardRig(() => accessTo(proxy.url, { database: `d${database}` }), 1_000, Date.now());
  const recentMs = Date.now() - hourMs;
  rig.add([reading(recentMs - 400 * dayMs, 1), reading(recentMs - 300 * dayMs, 2), reading(recentMs, 3)]);
  rig.begin();
  await rig.arrived();
  const status = rig.forwarder().status();
  expect(status).toMatchObject({ trouble: null, refusedLines: 0 });
  expect(status.beyondRetention).toBeGreaterThanOrEqual(2);
  expect(rig.said().some(({ code }) => code === "influx-beyond-retention")).toBe(true);
}, 60_000);
