import { writeFileSync } from "node:fs";
import { join } from "node:path";
import { afterAll, afterEach, beforeAll, expect, test } from "vitest";
import { brokerAccess } from "../../../collector/platform/broker-access.ts";
import type { BrokerSettings } from "../../../collector/platform/broker-settings.ts";
import { systemClock } from "../../../collector/platform/clock.ts";
import { externalBroker } from "../../../collector/source/external-broker.ts";
import type { MessageSource } from "../../../collector/source/message-source.ts";
import { eventually } from "../../eventually.ts";
import { temporaryFolder } from "../../temporary-folder.ts";
import { type Mosquitto, type MosquittoOptions, mosquitto } from "../mosquitto.ts";
import { type ThrowAwayAuthority, throwAwayAuthority } from "../notify/throw-away-authority.ts";
import { publisher } from "../publisher.ts";
import { keptMessages } from "./kept-messages.ts";
import { quietMemory } from "./quiet-memory.ts";

// Real TLS with authorities made for the test, real password files, on both versions of MQTT.
const secret = "pass phrase of the test";
let ours: ThrowAwayAuthority;
let foreign: ThrowAwayAuthority;
const folder = temporaryFolder();
const passwordFile = join(folder.path, "password");
beforeAll(() => {
  ours = throwAwayAuthority();
  foreign = throwAwayAuthority();
  writeFileSync(passwordFile, `${secret}\n`);
});
afterAll(() => {
  ours.remove();
  foreign.remove();
  folder.remove();
});

let broker: Mosquitto | undefined;
let source: MessageSource | undefined;
let lines: string[] = [];
afterEach(async () => {
  await source?.stop();
  await broker?.remove();
  // Whatever happened, neither the log nor the status had the password in it.
  expect(lines.join("\n")).not.toContain(secret);
  source = broker = undefined;
});

async function connectTo(options: MosquittoOptions, settings: (url: string) => BrokerSettings): Promise<MessageSource> {
  broker = await mosquitto(options);
  const access = brokerAccess(settings(broker.url), {}, "steadypour-test");
  if (access === null) throw new Error("no broker");
  lines = [];
  source = externalBroker({ access, topics: ["plant/#"], clock: systemClock, ...quietMemory(new Map(), lines) });
  kept.messages.length = 0;
  await source.start(kept.handle);
  return source;
}
const kept = keptMessages();
kept.settleAll();

test.each(["3.1.1", 5] as const)("MQTT %s over TLS with our own authority, user and password", async (version) => {
  const login = { user: "steadypour", password: secret };
  const one = await connectTo({ tls: ours, login }, (url) => ({
    ...{ url, version, user: "steadypour", passwordFile, caFile: ours.file },
  }));
  await eventually("connected", () => one.status().connected);
  const sender = await publisher(broker?.url ?? "", { ca: ours.authority, username: "steadypour", password: secret });
  await sender.publishAsync("plant/x", "hello", { qos: 1 });
  sender.end(true);
  await eventually("it arrived", () => kept.texts().includes("hello"));
});

test.each(["3.1.1", 5] as const)("MQTT %s with a client certificate that the broker asks for", async (version) => {
  const files = ours.client("steadypour");
  const one = await connectTo({ tls: { ...ours, clients: true } }, (url) => ({
    ...{ url, version, caFile: ours.file, ...files },
  }));
  await eventually("connected", () => one.status().connected);
});

test("without the certificate that the broker asks for we are refused, with the reason", async () => {
  const one = await connectTo({ tls: { ...ours, clients: true } }, (url) => ({ url, caFile: ours.file }));
  expect(one.status().connected).toBe(false);
  expect(one.status().detail).toMatch(/not connected to mqtts:.*: (?!not tried)./);
});

test("a broker whose certificate another authority made is not spoken to", async () => {
  const one = await connectTo({ tls: ours }, (url) => ({ url, caFile: foreign.file }));
  expect(one.status()).toMatchObject({ connected: false, detail: expect.stringMatching(/certificate/) });
});

test("a certificate for another name is refused, and taken when the settings say that name", async () => {
  const wrong = await connectTo({ tls: ours }, (url) => ({ url, caFile: ours.file, serverName: "elsewhere.example" }));
  expect(wrong.status()).toMatchObject({ connected: false, detail: expect.stringMatching(/elsewhere\.example/) });
  await wrong.stop();
  await broker?.remove();
  const right = await connectTo({ tls: ours }, (url) => ({ url, caFile: ours.file, serverName: "localhost" }));
  await eventually("connected", () => right.status().connected);
});

test.each(["3.1.1", 5] as const)("with a wrong password MQTT %s says so and tries again", async (version) => {
  const login = { user: "steadypour", password: "another" };
  const one = await connectTo({ login }, (url) => ({ url, version, user: "steadypour", passwordFile }));
  expect(one.status()).toMatchObject({ connected: false, detail: expect.stringMatching(/refused: Not authorized/i) });
  await eventually("tried again", () => one.status().reconnects >= 1);
});

test("a password that was changed in its file is taken up by itself", async () => {
  writeFileSync(passwordFile, "wrong for now\n");
  const login = { user: "steadypour", password: secret };
  const one = await connectTo({ login }, (url) => ({ url, user: "steadypour", passwordFile }));
  expect(one.status().connected).toBe(false);
  writeFileSync(passwordFile, `${secret}\n`);
  await eventually("connected", () => one.status().connected);
});
