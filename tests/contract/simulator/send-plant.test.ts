import { join } from "node:path";
import type { MqttClient } from "mqtt";
import { afterAll, beforeAll, expect, test } from "vitest";
import { readArguments } from "../../../simulator/arguments.ts";
import { sources } from "../../../simulator/plant-layout.ts";
import { readProgress } from "../../../simulator/progress.ts";
import { publisher as plantPublisher } from "../../../simulator/publisher.ts";
import { type Sent, sendPlant } from "../../../simulator/send-plant.ts";
import { eventually } from "../../eventually.ts";
import { temporaryFolder } from "../../temporary-folder.ts";
import { type Mosquitto, mosquitto } from "../mosquitto.ts";
import { publisher as plainClient } from "../publisher.ts";
import { wireTap } from "../wire-tap.ts";

const folder = temporaryFolder();
let broker: Mosquitto;
let listener: MqttClient;
let heard: { topic: string; source: string; seq: number; kind: string }[] = [];

beforeAll(async () => {
  broker = await mosquitto({ persistence: true });
  listener = await plainClient(broker.url, { clientId: "listener", clean: false });
  listener.on("message", (topic, payload) => {
    const { source, seq, kind } = JSON.parse(payload.toString());
    heard.push({ topic, source, seq, kind });
  });
  await listener.subscribeAsync("ostrimvale/#", { qos: 1 });
});

afterAll(async () => {
  await listener.endAsync(true);
  await broker.remove();
  folder.remove();
});

const progress = join(folder.path, "progress.json");
const start = Date.UTC(2026, 10, 25, 6);

async function send(words: string[], stop = new AbortController(), url = broker.url): Promise<Sent> {
  const read = readArguments(["--url", url, "--speed", "max", ...words], start);
  if (read.kind !== "run") throw new Error(JSON.stringify(read));
  const out = plantPublisher(read.options.url, () => {}, stop.signal);
  try {
    return await sendPlant(read.options, out, stop.signal);
  } finally {
    await out.close();
  }
}

/** Each gateway's messages, in the order heard, without those heard twice after a broken connection. */
function numbers(source: string): number[] {
  return [...new Set(heard.filter((m) => m.source === source).map((m) => m.seq))];
}

/** Every message that was said to be sent, and of each gateway every number. */
async function heardWhole(sent: Sent): Promise<void> {
  expect(sent.acknowledged).toBe(true);
  await eventually("everything is heard", () => sources.reduce((n, s) => n + numbers(s).length, 0) === sent.messages);
  for (const source of sources) {
    const seqs = [...numbers(source)].sort((a, b) => a - b);
    expect(seqs).toEqual(seqs.map((_, i) => i));
  }
}

test("a stretch of the plant's life arrives whole, numbered without a gap, under its gateways' topics", async () => {
  heard = [];
  const sent = await send(["--hours", "0.5"]);
  expect(sent.acknowledged).toBe(true);
  await eventually("everything is heard", () => heard.length === sent.messages);
  for (const { topic, source, kind } of heard) expect(topic).toBe(`ostrimvale/${source}/${kind}`);
  for (const source of sources) {
    const seqs = numbers(source);
    expect(seqs.length, source).toBeGreaterThan(0);
    expect(seqs, source).toEqual(seqs.map((_, i) => i));
  }
});

test("started again it goes on where it was acknowledged, with the numbers that follow", async () => {
  heard = [];
  const first = await send(["--from", "2026-11-25T05:00:00Z", "--hours", "0.2", "--progress", progress]);
  const second = await send(["--from", "2026-11-25T05:00:00Z", "--hours", "0.3", "--progress", progress]);
  await eventually("everything is heard", () => heard.length === first.messages + second.messages);
  for (const source of sources) expect(numbers(source)).toEqual(numbers(source).map((_, i) => i));
  const again = await send(["--from", "2026-11-25T05:00:00Z", "--hours", "0.3", "--progress", progress]);
  expect(again.messages).toBe(0);
});

test("a broker that dies amid the stream only holds the plant up", async () => {
  heard = [];
  const sending = send(["--hours", "1"]);
  await eventually("some of it is heard", () => heard.length > 200);
  await broker.stop();
  await broker.start();
  await heardWhole(await sending);
});

test("a connection that breaks twice amid the stream only holds the plant up", async () => {
  heard = [];
  const tap = await wireTap(broker.port);
  const sending = send(["--hours", "1"], new AbortController(), tap.url);
  await eventually("some of it is heard", () => heard.length > 200);
  tap.cut();
  await eventually("more of it is heard", () => heard.length > 600);
  tap.cut();
  await heardWhole(await sending);
  await tap.close();
});

test("told to stop amid the stream it remembers only what was acknowledged", async () => {
  const file = join(folder.path, "stopped.json");
  const stop = new AbortController();
  heard = [];
  const sending = send(["--hours", "12", "--progress", file], stop);
  await eventually("some of it is heard", () => heard.length > 200);
  stop.abort();
  const sent = await sending;
  await eventually("everything is heard", () => heard.length >= sent.messages);
  const reached = readProgress(file, start - 12 * 3_600_000, start, 86_400_000);
  for (const source of sources) {
    expect(reached[source].untilMs).toBeGreaterThan(start - 12 * 3_600_000);
    expect(reached[source].untilMs).toBeLessThan(start);
    expect(reached[source].seq).toBeLessThanOrEqual(numbers(source).length);
  }
});
