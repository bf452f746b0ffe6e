import type { MqttClient } from "mqtt";
import { pino } from "pino";
import { afterEach, beforeEach, expect, test } from "vitest";
import { memoryBus } from "../../../collector/platform/bus.ts";
import { systemClock } from "../../../collector/platform/clock.ts";
import { embeddedBroker } from "../../../collector/source/embedded-broker.ts";
import { type Collector, openSiteData, startCollector } from "../../../collector/start.ts";
import type { DataFolder } from "../../../collector/store/embedded/open-data-folder.ts";
import { eventually } from "../../eventually.ts";
import { temporaryFolder } from "../../temporary-folder.ts";
import { siteOf } from "../../unit/decode/formats.ts";
import { bdSeq, encoded, type Metric } from "../../unit/decode/sparkplug.ts";
import { publisher } from "../publisher.ts";

const site = siteOf();
/** Whole seconds, so that a time in seconds with decimals is exact. */
const nowMs = Math.floor(Date.now() / 1000) * 1000;

let folder: ReturnType<typeof temporaryFolder>;
let data: DataFolder;
let collector: Collector;
let client: MqttClient;
beforeEach(async () => {
  folder = temporaryFolder();
  await start();
});
afterEach(async () => {
  await stop();
  folder.remove();
});

async function start(): Promise<void> {
  data = openSiteData(folder.path, site);
  const source = embeddedBroker({ host: "127.0.0.1", port: 0, clock: systemClock });
  const log = pino({ level: "silent" });
  collector = await startCollector({ site, data, source, clock: systemClock, bus: memoryBus(), log });
  client = await publisher(`mqtt://127.0.0.1:${source.port()}`);
}

async function stop(): Promise<void> {
  client.end(true);
  await collector.stop();
  data.close();
}

async function send(topic: string, payload: string | Uint8Array): Promise<void> {
  await client.publishAsync(topic, payload as Buffer, { qos: 1 });
}

function kept(series: string): readonly (readonly [after: number, value: number | null, quality: string])[] {
  const found = data.samples.read({ series, fromMs: 0, toMs: nowMs * 2 }, { includeLate: true });
  return found.map(({ tMs, value, quality }) => [tMs - nowMs, value, quality]);
}

const refusals = () => data.samples.quarantine({ limit: 99 }).map(({ code, place }) => [code, place]);

test("SenML goes from the broker into the store, and what is wrong in it into quarantine", async () => {
  const bn = "urn:dev:ow:10e2073a01080063:";
  const records = [
    { bn, bt: nowMs / 1000, n: "supply-rh", u: "%RH", v: 41.5 },
    { n: "supply-rh", t: 1, u: "%RH", v: 42 },
    { n: "supply-rh", t: 2, u: "W", v: 42 },
    { n: "load", vb: true },
  ];
  await send("ostrimvale/GW-DR/senml", JSON.stringify(records));
  expect(kept("DR-1/supply-rh")).toEqual([
    [0, 41.5, "good"],
    [1000, 42, "good"],
  ]);
  expect(kept("DR-1/load")).toEqual([[0, 1, "good"]]);
  expect(refusals()).toEqual([["unknown-unit", "/2/u"]]);
  await send("ostrimvale/GW-DR/senml", JSON.stringify(records));
  expect(data.samples.counts()).toMatchObject({
    received: 8,
    acknowledged: 8,
    stored: 3,
    duplicate: 3,
    quarantined: 2,
  });
});

test("OPC UA PubSub JSON and mapped JSON go from the broker into the store", async () => {
  const at = (afterMs: number) => new Date(nowMs + afterMs).toISOString();
  const Temperature = { Value: 71.5, SourceTimestamp: at(-5), Status: { Code: 0x40000000 } };
  const frame = { DataSetWriterId: 101, SequenceNumber: 1, Timestamp: at(0), Payload: { Temperature, Active: true } };
  await send("ostrimvale/GW-AO/1", JSON.stringify({ MessageId: "1", MessageType: "ua-data", Messages: [frame] }));
  expect(kept("AO-1/t1")).toEqual([[-5, 71.5, "uncertain"]]);
  expect(kept("AO-1/door")).toEqual([[0, 1, "good"]]);

  const rows = [
    { tag: "TT-1", v: 7315, ts: nowMs * 1000, q: "OK" },
    { tag: "ZS-1", v: true, ts: nowMs * 1000, q: 0 },
    { tag: "XX-1", v: 1, ts: nowMs * 1000, q: 0 },
  ];
  await send("ostrimvale/GW-PO/1", JSON.stringify({ n: 1, rows }));
  expect(kept("PO-A/stream")).toEqual([[0, 751.5, "good"]]);
  expect(kept("PO-A/pour")).toEqual([[0, 1, "good"]]);
  expect(refusals()).toEqual([["unknown-series", "/rows/2"]]);
  expect(data.samples.counts()).toMatchObject({ received: 5, stored: 4, quarantined: 1 });
});

test("Sparkplug B lives through birth, data, a restart of ours, and death", async () => {
  const node = (type: string) => `spBv1.0/ostrimvale/${type}/GW-PR`;
  const pressure: Metric = { name: "Steam/Pressure", alias: 3, type: "Double", value: 90, timestamp: nowMs };
  const data3 = (value: number, afterMs: number, seq: number) =>
    encoded([{ alias: 3, type: "Double", value, timestamp: nowMs + afterMs }], { seq });
  await send(node("NBIRTH"), encoded([bdSeq(7)], { seq: 0 }));
  await send(`${node("DBIRTH")}/PR-01`, encoded([pressure], { seq: 1 }));
  await send(`${node("DDATA")}/PR-01`, data3(91, 50, 2));
  expect(kept("PR-01/pressure")).toEqual([
    [0, 0.9, "good"],
    [50, 0.91, "good"],
  ]);

  await stop();
  await start();
  await send(`${node("DDATA")}/PR-01`, data3(92, 100, 3));
  expect(refusals()).toEqual([["birth-missing", "/metrics/0"]]);
  expect(kept("PR-01/pressure")).toHaveLength(2);

  await send(node("NBIRTH"), encoded([bdSeq(8)], { seq: 0 }));
  await send(`${node("DBIRTH")}/PR-01`, encoded([{ ...pressure, value: 93, timestamp: nowMs + 150 }], { seq: 1 }));
  await send(`${node("DDEATH")}/PR-01`, encoded([], { seq: 2, timestamp: nowMs + 200 }));
  await eventually("the death is kept", () => kept("PR-01/pressure").length === 4);
  expect(kept("PR-01/pressure").slice(2)).toEqual([
    [150, expect.closeTo(0.93, 12), "good"],
    [200, null, "bad"],
  ]);
  expect(data.samples.counts()).toMatchObject({ received: 5, stored: 4, quarantined: 1 });
});

test("our own JSON goes on beside the others, and a topic of none is told", async () => {
  const event = { v: 1, kind: "event", source: "GW-CT", series: "CT-A1/stage", t: nowMs, value: 2 };
  await send("json/GW-CT/event", JSON.stringify(event));
  expect(kept("CT-A1/stage")).toEqual([[0, 2, "good"]]);
  await send("nowhere", JSON.stringify(event));
  await send("ostrimvale/GW-DR/x", JSON.stringify(event));
  expect(refusals()).toEqual([
    ["unknown-topic", ""],
    ["not-a-list", ""],
  ]);
});

test("a storm of hostile bytes under every topic leaves the product up, and each message counted", async () => {
  const topics = ["ostrimvale/GW-DR/x", "ostrimvale/GW-AO/x", "ostrimvale/GW-PO/x", "spBv1.0/ostrimvale/NBIRTH/GW-PR"];
  const deep = `${"[".repeat(200_000)}${"]".repeat(200_000)}`;
  const payloads = [
    deep,
    "",
    "null",
    "[1e400]",
    '{"rows":[NaN]}',
    "\u0000",
    "'; DROP TABLE sample; --",
    new Uint8Array([255]),
  ];
  for (const topic of topics) for (const payload of payloads) await send(topic, payload);
  const { received, stored, duplicate, quarantined } = data.samples.counts();
  expect(stored).toBe(0);
  expect(received).toBe(stored + duplicate + quarantined);
  expect(quarantined).toBeGreaterThanOrEqual(topics.length * payloads.length - 2);
});
