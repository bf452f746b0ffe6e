import { type Mosquitto, mosquitto } from "../contract/mosquitto.ts";
import { publisher } from "../contract/publisher.ts";
import { startNode } from "../system/running-process.ts";
import { startOptions } from "../system/start-words.ts";
import { temporaryFolder } from "../temporary-folder.ts";
import { alternating, type Bench } from "./bench.ts";
import { type SingleReading, singleReadings } from "./single-readings.ts";

/** Enough for a steady state: what the first 100,000 cost is mostly the compiling of what then runs. */
const count = 480_000;
const rounds = 3;
const withinMs = 240_000;

interface Took {
  readonly seconds: number;
}

/**
 * One-reading messages of QoS 1 a second, from Mosquitto through all stages, against a bare MQTT.js subscriber that
 * only counts. Both find the same messages waiting in their sessions, so that no sender limits either.
 */
export const qos1Single: Bench = {
  name: "qos1-single",
  run: async (note) => {
    const hourMs = 3_600_000;
    const messages = singleReadings(Math.floor(Date.now() / hourMs) * hourMs - 20 * hourMs, count);
    const { ours, baseline, raw } = await alternating(rounds, (ourFirst) => oneRound(messages, ourFirst, note));
    note(`rounds: ${JSON.stringify(raw)}`);
    return { name: "qos1-single", ours, baseline, unit: "msg/s", ratio: ours / baseline, better: "higher", ask: 0.8 };
  },
};

async function oneRound(
  messages: readonly SingleReading[],
  ourFirst: boolean,
  note: (line: string) => void,
): Promise<{ readonly ours: number; readonly baseline: number }> {
  const broker = await mosquitto();
  const folder = temporaryFolder();
  const take = {
    ours: (n: number) =>
      took([...startOptions, "dist/tests/bench/take-ours.js", broker.url, folder.path, String(n)], note),
    baseline: (n: number) => took(["dist/tests/bench/take-bare.js", broker.url, String(n)], note),
  };
  try {
    await take.ours(0);
    await take.baseline(0);
    await fill(broker, messages);
    const rates = { ours: 0, baseline: 0 };
    const order = ["ours", "baseline"] as const;
    for (const name of ourFirst ? order : order.toReversed()) {
      rates[name] = messages.length / (await take[name](messages.length)).seconds;
    }
    return rates;
  } finally {
    await broker.remove();
    folder.remove();
  }
}

async function took(words: readonly string[], note: (line: string) => void): Promise<Took> {
  const process = startNode(words);
  const code = await process.exit(withinMs);
  if (code !== 0) throw new Error(`${words[0]} ended with ${code}:\n${process.said()}`);
  const said = process.said().trim();
  note(`${words[0]}: ${said}`);
  return JSON.parse(said.split("\n").at(-1) ?? "") as Took;
}

async function fill(broker: Mosquitto, messages: readonly SingleReading[]): Promise<void> {
  const client = await publisher(broker.url);
  const underway = new Set<Promise<unknown>>();
  for (const { topic, payload } of messages) {
    const one: Promise<unknown> = client.publishAsync(topic, payload, { qos: 1 }).finally(() => underway.delete(one));
    underway.add(one);
    if (underway.size >= 1000) await Promise.race(underway);
  }
  await Promise.all(underway);
  await client.endAsync();
}
