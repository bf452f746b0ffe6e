import type { MqttClient } from "mqtt";
import { afterEach, beforeEach, expect, test } from "vitest";
import type { BrokerAccess } from "../../../collector/platform/broker-access.ts";
import { systemClock } from "../../../collector/platform/clock.ts";
import { externalBroker } from "../../../collector/source/external-broker.ts";
import type { MessageSource } from "../../../collector/source/message-source.ts";
import { eventually } from "../../eventually.ts";
import { type Mosquitto, mosquitto } from "../mosquitto.ts";
import { publisher } from "../publisher.ts";
import { type WireTap, wireTap } from "../wire-tap.ts";
import { type KeptMessages, keptMessages } from "./kept-messages.ts";
import { quietMemory } from "./quiet-memory.ts";

let broker: Mosquitto;
let tap: WireTap;
let kept: KeptMessages;
let source: MessageSource;
let sender: MqttClient;
beforeEach(async () => {
  broker = await mosquitto({ persistence: true });
  tap = await wireTap(broker.port);
  kept = keptMessages();
  source = newSource();
  sender = await publisher(broker.url);
});
afterEach(async () => {
  await source.stop();
  sender.end(true);
  await tap.close();
  await broker.remove();
});

function newSource(changes: Partial<BrokerAccess> = {}): MessageSource {
  return externalBroker({
    access: () => ({ url: tap.url, clientId: "steadypour-test", protocolVersion: 4, ...changes }),
    topics: ["plant/#"],
    clock: systemClock,
    ...quietMemory(),
  });
}
const ours = (type: number) => tap.seen.filter((packet) => packet.from === "client" && packet.type === type);
const received = () => tap.seen.filter((packet) => packet.from === "broker" && packet.type === 3 && packet.qos > 0);
/** Requests for readings: the broker's own count of what it dropped is asked for each time. */
const subscribed = () => ours(SUBSCRIBE).filter(({ payload }) => payload.includes("plant/#"));
const [PUBACK, SUBSCRIBE] = [4, 8];

test("a message is acknowledged when it is settled and not before, in order", async () => {
  await source.start(kept.handle);
  for (const n of [0, 1, 2]) await sender.publishAsync("plant/x", `${n}`, { qos: 1 });
  await eventually("all three arrived, none waiting for another", () => kept.messages.length === 3);
  expect(ours(PUBACK)).toEqual([]);
  expect(source.status()).toMatchObject({ connected: true, unacknowledged: 3 });
  kept.settle(2);
  await eventually("two acknowledged", () => ours(PUBACK).length === 2);
  kept.settle();
  await eventually("all acknowledged", () => ours(PUBACK).length === 3);
  expect(ours(PUBACK).map((p) => p.id)).toEqual(received().map((p) => p.id));
  expect(kept.messages[0]).toMatchObject({ topic: "plant/x", qos: 1, retained: false });
});

test("a message settled within the call that brings it is acknowledged", async () => {
  kept.settleAll();
  await source.start(kept.handle);
  for (let n = 0; n < 500; n++) sender.publish("plant/x", `${n}`, { qos: 1 });
  await eventually("all acknowledged", () => ours(PUBACK).length === 500);
  expect(kept.texts()).toEqual(Array.from({ length: 500 }, (_, n) => `${n}`));
  expect(ours(PUBACK).map((p) => p.id)).toEqual(received().map((p) => p.id));
});

test("a stop waits until what was taken is settled and acknowledged, and takes nothing more", async () => {
  await source.start(kept.handle);
  await sender.publishAsync("plant/x", "before", { qos: 1 });
  await eventually("it arrived", () => kept.messages.length === 1);
  const stopped = source.stop();
  await sender.publishAsync("plant/x", "after", { qos: 1 });
  await eventually("it came as far as the wire", () => received().length === 2);
  expect(ours(PUBACK)).toEqual([]);
  kept.settle();
  await stopped;
  expect(ours(PUBACK).map((p) => p.id)).toEqual([received()[0]?.id]);
  expect(kept.texts()).toEqual(["before"]);
  kept.settleAll();
  source = newSource();
  await source.start(kept.handle);
  await eventually("it comes at the next start", () => kept.texts().includes("after"));
});

test("what the store refused is not acknowledged and comes again, in order", async () => {
  await source.start(kept.handle);
  for (const n of [0, 1, 2]) await sender.publishAsync("plant/x", `${n}`, { qos: 1 });
  await eventually("all arrived", () => kept.messages.length === 3);
  kept.settle(1);
  await eventually("the first is acknowledged", () => ours(PUBACK).length === 1);
  kept.settle(2, new Error("disk full"));
  await eventually("the two refused came again", () => kept.messages.length === 5);
  kept.settle(2);
  await eventually("all acknowledged", () => ours(PUBACK).length === 3);
  expect(kept.texts()).toEqual(["0", "1", "2", "1", "2"]);
  expect(source.status()).toMatchObject({ connected: true, unacknowledged: 0, reconnects: 1 });
});

test("what came while we were away is waiting at the next start", async () => {
  await source.start(kept.handle);
  await source.stop();
  await sender.publishAsync("plant/x", "meanwhile", { qos: 1 });
  kept.settleAll();
  source = newSource();
  await source.start(kept.handle);
  await eventually("it arrived", () => kept.texts().includes("meanwhile"));
});

test("a broker that comes back with our session is not subscribed to again", async () => {
  kept.settleAll();
  await source.start(kept.handle);
  await broker.stop();
  await broker.start();
  await eventually("connected again", () => source.status().connected);
  await sender.publishAsync("plant/x", "after", { qos: 1 });
  await eventually("it arrived", () => kept.texts().includes("after"));
  expect(subscribed()).toHaveLength(1);
});

test("a broker that lost our session is subscribed to again", async () => {
  kept.settleAll();
  await source.start(kept.handle);
  await broker.kill();
  await eventually("the page shows it", () => source.status().detail.startsWith("not connected"));
  await broker.start();
  await eventually("subscribed again", () => subscribed().length === 2);
  await eventually("it arrives", async () => {
    await sender.publishAsync("plant/x", "after", { qos: 1 });
    return kept.texts().includes("after");
  });
});

test("a retained message is marked as one", async () => {
  kept.settleAll();
  await sender.publishAsync("plant/x", "from before", { qos: 1, retain: true });
  await source.start(kept.handle);
  await eventually("it arrived", () => kept.messages.length === 1);
  expect(kept.messages).toMatchObject([{ retained: true }]);
  await sender.publishAsync("plant/x", "now", { qos: 1, retain: true });
  await eventually("the next arrived", () => kept.messages.length === 2);
  expect(kept.messages[1]).toMatchObject({ retained: false });
});

test("QoS 0 is passed on and nothing is acknowledged", async () => {
  await source.start(kept.handle);
  await sender.publishAsync("plant/x", "zero", { qos: 0 });
  await eventually("it arrived", () => kept.messages.length === 1);
  kept.settle();
  expect(kept.messages).toMatchObject([{ qos: 0 }]);
  expect(ours(PUBACK)).toEqual([]);
});

test("QoS 2 reaches us as QoS 1, which is all we ask for", async () => {
  kept.settleAll();
  await source.start(kept.handle);
  await sender.publishAsync("plant/x", "two", { qos: 2 });
  await eventually("acknowledged", () => ours(PUBACK).length === 1);
  expect(kept.messages).toMatchObject([{ qos: 1 }]);
});

test("over MQTT 5 a message comes with its topic, for we offer no topic alias", async () => {
  kept.settleAll();
  source = newSource({ protocolVersion: 5, url: broker.url });
  await source.start(kept.handle);
  for (const n of [0, 1]) await sender.publishAsync("plant/x", `${n}`, { qos: 1 });
  await eventually("both arrived", () => kept.messages.length === 2);
  expect(kept.messages.map((m) => m.topic)).toEqual(["plant/x", "plant/x"]);
});

test("a broker that is down does not keep us from starting, and is found when it comes", async () => {
  kept.settleAll();
  await broker.stop();
  await source.start(kept.handle);
  expect(source.status()).toMatchObject({
    connected: false,
    detail: expect.stringContaining("not connected to mqtt://127.0.0.1"),
  });
  await broker.start();
  await eventually("connected", () => source.status().connected);
});

test("a connection that refuses us is tried again and says why", async () => {
  source = newSource({ url: "mqtt://127.0.0.1:1", username: "someone", password: "secret" });
  await source.start(kept.handle);
  const { detail } = source.status();
  expect(detail).toContain("ECONNREFUSED");
  expect(detail).not.toContain("secret");
  await eventually("tried again", () => source.status().reconnects >= 1);
});
