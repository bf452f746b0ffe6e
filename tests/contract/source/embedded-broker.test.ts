import { connect as connectSocket } from "node:net";
import type { MqttClient } from "mqtt";
import { afterEach, beforeEach, expect, test } from "vitest";
import { systemClock } from "../../../collector/platform/clock.ts";
import { type EmbeddedBroker, embeddedBroker } from "../../../collector/source/embedded-broker.ts";
import { eventually } from "../../eventually.ts";
import { publisher } from "../publisher.ts";
import { type KeptMessages, keptMessages } from "./kept-messages.ts";

let broker: EmbeddedBroker;
let kept: KeptMessages;
let clients: MqttClient[];
let url: string;
beforeEach(async () => {
  broker = embeddedBroker({ host: "127.0.0.1", port: 0, clock: systemClock });
  kept = keptMessages();
  clients = [];
  await broker.start(kept.handle);
  url = `mqtt://127.0.0.1:${broker.port()}`;
});
afterEach(async () => {
  for (const client of clients) client.end(true);
  await broker.stop();
});

async function client(options: Parameters<typeof publisher>[1] = {}): Promise<MqttClient> {
  const one = await publisher(url, options);
  clients.push(one);
  return one;
}

test("a message is acknowledged when it is settled and not before, in order", async () => {
  const sender = await client();
  const acknowledged: number[] = [];
  for (const n of [0, 1, 2]) sender.publish("plant/x", `${n}`, { qos: 1 }, () => acknowledged.push(n));
  await eventually("all three arrived", () => kept.messages.length === 3);
  // A round trip of another client shows that nothing was on its way to the first.
  await (await client()).subscribeAsync("nothing");
  expect(acknowledged).toEqual([]);
  expect(broker.status()).toMatchObject({ connected: true, unacknowledged: 3 });
  kept.settle(2);
  await eventually("two acknowledged", () => acknowledged.length === 2);
  kept.settle();
  await eventually("all acknowledged", () => acknowledged.length === 3);
  expect(acknowledged).toEqual([0, 1, 2]);
  expect(broker.status().unacknowledged).toBe(0);
  expect(kept.messages[0]).toMatchObject({ topic: "plant/x", qos: 1, retained: false });
});

test("a stop waits until what was taken is settled and acknowledged, and takes nothing more", async () => {
  const sender = await client({ reconnectPeriod: 0 });
  const acknowledged: string[] = [];
  sender.publish("plant/x", "before", { qos: 1 }, (error) => error ?? acknowledged.push("before"));
  await eventually("it arrived", () => kept.messages.length === 1);
  const stopped = broker.stop();
  sender.publish("plant/x", "after", { qos: 1 }, (error) => error ?? acknowledged.push("after"));
  await new Promise((resolve) => setTimeout(resolve, 100));
  expect(acknowledged).toEqual([]);
  kept.settle();
  await stopped;
  await eventually("acknowledged", () => acknowledged.length > 0);
  expect(acknowledged).toEqual(["before"]);
  expect(kept.texts()).toEqual(["before"]);
});

test("what the store refused stays with its sender, who sends it again", async () => {
  const sender = await client();
  let acknowledged = false;
  sender.publish("plant/x", "kept", { qos: 1 }, () => {
    acknowledged = true;
  });
  await eventually("it arrived", () => kept.messages.length === 1);
  kept.settle(1, new Error("disk full"));
  await eventually("it came again", () => kept.messages.length === 2);
  expect(acknowledged).toBe(false);
  kept.settle();
  await eventually("it is acknowledged", () => acknowledged);
  expect(kept.texts()).toEqual(["kept", "kept"]);
});

test("a message whose sender has gone is settled without harm", async () => {
  const sender = await client();
  sender.publish("plant/x", "last words", { qos: 1 });
  await eventually("it arrived", () => kept.messages.length === 1);
  sender.end(true);
  await eventually("it has gone", () => broker.status().detail.includes("0 connected"));
  kept.settle();
  expect(broker.status().unacknowledged).toBe(0);
});

test("the broker's own topics are refused", async () => {
  const sender = await client({ reconnectPeriod: 0 });
  sender.publish("$SYS/x", "mine", { qos: 1 });
  await eventually("it was cut off", () => !sender.connected);
  expect(kept.messages).toEqual([]);
});

test("QoS 0 and QoS 2 and a will are messages like any other", async () => {
  kept.settleAll();
  const sender = await client({ will: { topic: "plant/will", payload: Buffer.from("gone"), qos: 1, retain: true } });
  sender.publish("plant/x", "zero", { qos: 0 });
  await sender.publishAsync("plant/x", "two", { qos: 2 });
  sender.stream.destroy();
  await eventually("all arrived", () => kept.messages.length === 3);
  expect(kept.messages.map((m) => [m.topic, m.qos, Buffer.from(m.payload).toString()])).toEqual([
    ["plant/x", 0, "zero"],
    ["plant/x", 2, "two"],
    ["plant/will", 1, "gone"],
  ]);
});

test("a reading is not kept as a last-known value", async () => {
  kept.settleAll();
  await (await client()).publishAsync("plant/x", "new", { qos: 1, retain: true });
  expect(kept.messages).toMatchObject([{ retained: false }]);
  const got: string[] = [];
  const reader = await client();
  reader.on("message", (_topic, payload) => got.push(payload.toString()));
  await reader.subscribeAsync("plant/#", { qos: 1 });
  await (await client()).publishAsync("plant/x", "live", { qos: 1 });
  await eventually("the live one came", () => got.length > 0);
  expect(got).toEqual(["live"]);
});

test("it keeps no session for a subscriber that has gone", async () => {
  kept.settleAll();
  const first = await client({ clientId: "panel", clean: false });
  await first.subscribeAsync("plant/#", { qos: 1 });
  await first.endAsync();
  await (await client()).publishAsync("plant/x", "missed", { qos: 1 });
  const got: string[] = [];
  const again = await publisher(url, { clientId: "panel", clean: false, manualConnect: false });
  clients.push(again);
  again.on("message", (_topic, payload) => got.push(payload.toString()));
  await again.subscribeAsync("elsewhere");
  expect(got).toEqual([]);
});

test("a sender that announces a packet beyond all measure is cut off before it is read", async () => {
  const socket = connectSocket(broker.port(), "127.0.0.1");
  const connectPacket = Buffer.from([
    0x10, 16, 0, 4, 0x4d, 0x51, 0x54, 0x54, 4, 2, 0, 60, 0, 4, 0x74, 0x65, 0x73, 0x74,
  ]);
  socket.write(connectPacket);
  await new Promise((resolve) => socket.once("data", resolve));
  // PUBLISH with a remaining length of 200 MB.
  socket.write(Buffer.from([0x32, 0x80, 0x84, 0xaf, 0x5f, 0, 1, 0x78]));
  await new Promise((resolve) => socket.once("close", resolve));
  socket.destroy();
  kept.settleAll();
  await (await client()).publishAsync("plant/x", "others go on", { qos: 1 });
});

test("a message of two hundred thousand bytes passes, cut into many reads", async () => {
  kept.settleAll();
  await (await client()).publishAsync("plant/x", Buffer.alloc(200_000, 65), { qos: 1 });
  expect(kept.messages[0]?.payload.length).toBe(200_000);
});

/** MQTT 3.1.1, section 3.1, with a clean session and no user; the flags say that a user comes. */
function connectPacket(id: string, user = ""): Buffer {
  const text = (one: string) => Buffer.concat([Buffer.from([0, one.length]), Buffer.from(one)]);
  const name = user === "" ? Buffer.alloc(0) : Buffer.concat([text(user), text("wrong")]);
  const body = Buffer.concat([text("MQTT"), Buffer.from([4, user === "" ? 2 : 0xc2, 0, 60]), text(id), name]);
  return Buffer.concat([Buffer.from([0x10, body.length]), body]);
}

/** Section 3.3, at QoS 1. */
function publishPacket(id: number, text: string): Buffer {
  const body = Buffer.concat([
    Buffer.from([0, 7]),
    Buffer.from("plant/x"),
    Buffer.from([id >> 8, id & 255]),
    Buffer.from(text),
  ]);
  return Buffer.concat([Buffer.from([0x32, body.length]), body]);
}

test("a sender that does not wait to be let in is taken at its word, in order, wherever its bytes are cut", async () => {
  const count = 500;
  const texts = Array.from({ length: count }, (_, n) => `${n}`);
  const bytes = Buffer.concat([connectPacket("early"), ...texts.map((text, n) => publishPacket(n + 1, text))]);
  for (const cut of [bytes.length, 1, 20, 45]) {
    kept.messages.length = 0;
    const socket = connectSocket(broker.port(), "127.0.0.1");
    let came = Buffer.alloc(0);
    socket.on("data", (chunk: Buffer) => {
      came = Buffer.concat([came, chunk]);
    });
    socket.write(bytes.subarray(0, cut));
    // The rest comes in a packet of its own.
    await new Promise((resolve) => setTimeout(resolve, 20));
    socket.write(bytes.subarray(cut));
    await eventually("all arrived", () => kept.messages.length === count);
    expect(kept.texts()).toEqual(texts);
    kept.settle(count);
    // CONNACK, and four bytes for each PUBACK.
    await eventually("all acknowledged", () => came.length === 4 + 4 * count);
    expect([...came.subarray(0, 4)]).toEqual([0x20, 2, 0, 0]);
    socket.destroy();
  }
});

test("of one that is not let in nothing is taken", async () => {
  const socket = connectSocket(broker.port(), "127.0.0.1");
  const ended = new Promise((resolve) => socket.once("close", resolve));
  socket.on("error", () => {});
  socket.write(
    Buffer.concat([connectPacket("stranger", "nobody"), publishPacket(1, "never"), publishPacket(2, "never")]),
  );
  socket.resume();
  await ended;
  expect(kept.messages).toEqual([]);
});

test("a taken port is a fault that names it, and nothing is left listening", async () => {
  const port = broker.port();
  const second = embeddedBroker({ host: "127.0.0.1", port, clock: systemClock });
  await expect(second.start(kept.handle)).rejects.toMatchObject({
    name: "Fault",
    code: "port-in-use",
    message: expect.stringContaining(`127.0.0.1:${port}`),
  });
  await second.stop();
  expect(second.status().connected).toBe(false);
});
