import { existsSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import type { MqttClient } from "mqtt";
import { afterEach, beforeEach, expect, test } from "vitest";
import { recordingHead, recordingLine } from "../../../collector/source/recording.ts";
import { startSite } from "../../e2e/running-site.ts";
import { eventually } from "../../eventually.ts";
import { freePort } from "../../system/free-port.ts";
import { type RunningProcess, startNode } from "../../system/running-process.ts";
import { temporaryFolder } from "../../temporary-folder.ts";
import { type Mosquitto, mosquitto } from "../mosquitto.ts";
import { publisher } from "../publisher.ts";

const secret = "pass phrase of the test";
const login = { user: "bench", password: secret };
let folder: ReturnType<typeof temporaryFolder>;
let broker: Mosquitto;
let client: MqttClient;
let passwordFile: string;
let file: string;
const started: RunningProcess[] = [];
beforeEach(async () => {
  folder = temporaryFolder();
  file = join(folder.path, "plant.jsonl");
  passwordFile = join(folder.path, "password");
  writeFileSync(passwordFile, `${secret}\n`);
  broker = await mosquitto({ login });
  client = await publisher(broker.url, { username: login.user, password: secret });
});
afterEach(async () => {
  client.end(true);
  for (const one of started.splice(0)) {
    await one.stop();
    expect(one.said()).not.toContain(secret);
  }
  await broker.remove();
  folder.remove();
});

function verb(...words: readonly string[]): RunningProcess {
  const one = startNode(["dist/api/cli/main.js", ...words]);
  started.push(one);
  return one;
}
const access = () => ["--user", "bench", "--password-file", passwordFile];
const recorded = () =>
  readFileSync(file, "utf8")
    .trim()
    .split("\n")
    .map((line) => JSON.parse(line) as Record<string, string>);

const t = Date.parse("2026-11-25T08:00:00Z");
function readings(seq: number): string {
  const reading = { series: "PR-01/pressure", t: t + seq * 1_000, value: 0.9, unit: "bar" };
  return JSON.stringify({ v: 1, kind: "readings", source: "GW-PR", seq, readings: [reading] });
}

/** A recording of so many messages of one gateway, one every 100 ms. */
function recording(count: number, over: { readonly topic?: string } = {}): string {
  const lines = Array.from({ length: count }, (_, seq) =>
    recordingLine({
      ...{ topic: "ostrimvale/GW-PR/readings", payload: Buffer.from(readings(seq)), receivedMs: t + seq * 100 },
      ...{ retained: false, qos: 1, ...over },
    }),
  );
  return `${[recordingHead(t, ["ostrimvale/#"]), ...lines].join("\n")}\n`;
}

test("what is published is written down until Ctrl-C, without what the broker kept from before and without commands", async () => {
  await client.publishAsync("ostrimvale/GW-PR/readings", "from before", { qos: 1, retain: true });
  const recorder = verb(
    "record",
    file,
    "--broker",
    broker.url,
    "--topic",
    "ostrimvale/#",
    "--topic",
    "spBv1.0/#",
    ...access(),
  );
  await recorder.says(/records ostrimvale/);
  await eventually("it listens", async () => {
    await client.publishAsync("ostrimvale/GW-PR/readings", readings(0), { qos: 1 });
    return recorded().length > 1;
  });
  await client.publishAsync("spBv1.0/works/DCMD/GW-PR/PR-01", "move", { qos: 1 });
  await client.publishAsync("ostrimvale/GW-CT/waveform", Buffer.from([0, 255, 254]), { qos: 0 });
  await eventually("it is there", () => recorded().some(({ topic }) => topic === "ostrimvale/GW-CT/waveform"));
  recorder.signal("SIGINT");
  expect(await recorder.exit()).toBe(0);
  const [head, first, ...rest] = recorded();
  expect(head).toMatchObject({ recording: "steadypour", v: 1, topics: ["ostrimvale/#", "spBv1.0/#"] });
  expect(Buffer.from(first?.["payload"] ?? "", "base64").toString()).toBe(readings(0));
  expect(rest.at(-1)).toMatchObject({ topic: "ostrimvale/GW-CT/waveform", qos: 0, payload: "AP/+" });
  expect(readFileSync(file, "utf8")).not.toContain("DCMD");
  expect(recorder.said()).toContain(`${recorded().length - 1} messages recorded in ${file}`);
});

test("--for ends a recording by itself, and a file that is there is not written over", async () => {
  const words = ["record", file, "--broker", broker.url, "--topic", "ostrimvale/#", "--for", "500 ms", ...access()];
  expect(await verb(...words).exit()).toBe(0);
  const again = verb(...words);
  expect(await again.exit()).toBe(2);
  expect(again.said()).toContain(`${file}: is there already`);
});

test("a recording is replayed in order, each message under its topic, at the speed asked for", async () => {
  writeFileSync(file, recording(20));
  const got: string[] = [];
  client.on("message", (topic, payload) => got.push(`${topic} ${payload.toString()}`));
  await client.subscribeAsync("#", { qos: 1 });
  const began = performance.now();
  const player = verb("replay", file, "--to", broker.url, "--speed", "2", ...access());
  expect(await player.exit()).toBe(0);
  // Recorded over 1.9 s.
  expect(performance.now() - began).toBeGreaterThan(950);
  expect(player.said()).toMatch(/20 messages replayed in/);
  await eventually("all arrived", () => got.length === 20);
  expect(got).toEqual(Array.from({ length: 20 }, (_, seq) => `ostrimvale/GW-PR/readings ${readings(seq)}`));
});

test("a product of its own takes in a replayed recording whole, and once more changes nothing", async () => {
  writeFileSync(file, recording(500));
  const site = await startSite();
  try {
    const counts = async () => site.ask<{ stored: number; duplicate: number; sequenceGaps: object }>("/api/counts");
    expect(await verb("replay", file, "--to", site.mqttUrl, "--speed", "max").exit()).toBe(0);
    expect(await counts()).toMatchObject({ stored: 500, duplicate: 0, sequenceGaps: { "GW-PR": 0 } });
    expect(await verb("replay", file, "--to", site.mqttUrl, "--speed", "max").exit()).toBe(0);
    expect(await counts()).toMatchObject({ stored: 500, duplicate: 500, sequenceGaps: { "GW-PR": 0 } });
  } finally {
    await site.stop();
  }
});

test("a broker that goes away only holds a replay up", async () => {
  writeFileSync(file, recording(60));
  const got = new Set<string>();
  client.on("message", (_, payload) => got.add(payload.toString()));
  await client.subscribeAsync("ostrimvale/#", { qos: 1 });
  const player = verb("replay", file, "--to", broker.url, "--speed", "2", ...access());
  await eventually("it plays", () => got.size > 5);
  await broker.kill();
  await broker.start();
  client.subscribe("ostrimvale/#", { qos: 1 });
  expect(await player.exit()).toBe(0);
  expect(player.said()).toMatch(/is gone; trying again/);
  expect(player.said()).toMatch(/60 messages replayed/);
});

test("commands to machines in a file are passed over", async () => {
  const [head, ...lines] = recording(2).trim().split("\n");
  const [, command] = recording(1, { topic: "spBv1.0/works/NCMD/GW-PR" }).trim().split("\n");
  writeFileSync(file, [head, ...lines, command].join("\n"));
  const got: string[] = [];
  client.on("message", (topic) => got.push(topic));
  await client.subscribeAsync("#", { qos: 1 });
  const player = verb("replay", file, "--to", broker.url, "--speed", "max", ...access());
  expect(await player.exit()).toBe(0);
  expect(player.said()).toMatch(/2 messages replayed in .*, 1 commands passed over/);
  expect(new Set(got)).toEqual(new Set(["ostrimvale/GW-PR/readings"]));
});

test("a file with anything wrong in it is told line by line, and nothing is sent", async () => {
  const [head, ...lines] = recording(3).trim().split("\n");
  const wrong = [
    "hello",
    JSON.stringify({ at: "yesterday", topic: "a", qos: 1, payload: "" }),
    JSON.stringify({ at: "2026-11-25T08:00:00.000Z", topic: "a/#", qos: 1, payload: "" }),
    JSON.stringify({ at: "2026-11-25T08:00:00.000Z", topic: "a", qos: 3, payload: "" }),
    JSON.stringify({ at: "2026-11-25T08:00:00.000Z", topic: "a", qos: 1, payload: "not base64" }),
  ];
  writeFileSync(file, [head, ...lines, ...wrong].join("\n"));
  const got: string[] = [];
  client.on("message", (topic) => got.push(topic));
  await client.subscribeAsync("#", { qos: 1 });
  const player = verb("replay", file, "--to", broker.url, ...access());
  expect(await player.exit()).toBe(2);
  for (const words of [
    ":5: found no JSON",
    ':6: at: found "yesterday"',
    ':7: topic: found "a/#"',
    ":8: qos: found 3",
    ':9: payload: found "not base64"',
    "5 mistakes: nothing was sent",
  ]) {
    expect(player.said()).toContain(words);
  }
  expect(got).toEqual([]);
});

test.each([
  ["no --to", ["replay", "FILE"], "found no --to"],
  ["a speed of nothing", ["replay", "FILE", "--to", "mqtt://127.0.0.1:1", "--speed", "0"], "--speed: found 0"],
  ["another file", ["replay", "package.json", "--to", "mqtt://127.0.0.1:1"], "package.json:1: found no recording"],
  ["a file that is not there", ["replay", "no-such", "--to", "mqtt://127.0.0.1:1"], "no-such: cannot be read"],
  [
    "a password in the address",
    ["record", "FILE", "--topic", "a", "--broker", "mqtt://u:secret@h"],
    "without user, password",
  ],
  [
    "a file that is no password",
    ["replay", "FILE", "--to", "mqtt://h", "--user", "u", "--password-file", "no"],
    "no (read",
  ],
  [
    "a time that is none",
    ["record", "FILE", "--topic", "a", "--broker", "mqtt://h", "--for", "long"],
    "--for: found long",
  ],
])("%s is said, and nothing is done", async (_, words, said) => {
  const one = verb(...words.map((word) => (word === "FILE" ? file : word)));
  if (words[0] === "replay") writeFileSync(file, recording(1));
  expect(await one.exit()).toBeGreaterThan(0);
  expect(one.said()).toContain(said);
  if (words[0] === "record") expect(existsSync(file)).toBe(false);
  expect(one.said()).not.toContain("secret");
});

test("a broker that does not answer, or does not let us in, is said with the reason", async () => {
  writeFileSync(file, recording(1));
  const nobody = verb("replay", file, "--to", `mqtt://127.0.0.1:${await freePort()}`);
  expect(await nobody.exit()).toBe(1);
  expect(nobody.said()).toMatch(/steadypour replay: no connection to mqtt:\/\/127\.0\.0\.1:\d+: .*ECONNREFUSED/);
  const refused = verb("replay", file, "--to", broker.url);
  expect(await refused.exit()).toBe(1);
  expect(refused.said()).toMatch(/not authorized/i);
});
