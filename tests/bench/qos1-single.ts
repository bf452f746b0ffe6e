import { type Mosquitto, mosquitto } from "../contract/mosquitto.ts";
import { publisher } from "../contract/publisher.ts";
import { eventually } from "../eventually.ts";
import { freePort } from "../system/free-port.ts";
import { startNode } from "../system/running-process.ts";
import { temporaryFolder } from "../temporary-folder.ts";
import { type Bench, inTurns } from "./bench.ts";
import { type PressMessages, pressMessages } from "./press-messages.ts";

const rounds = 3;
const shots = 75;
const startMs = Date.UTC(2026, 10, 1);

/**
 * One-reading QoS 1 messages a second, out of a session that the broker has filled beforehand, so that no sender sets
 * the pace. Ours: the whole product, until every reading is committed and the last shot is cut, charted and readable.
 * Baseline: a bare MQTT.js subscriber that counts, on the same Mosquitto.
 */
export const qos1Single: Bench = {
  name: "qos1-single",
  run: async (say) => {
    const messages = pressMessages(shots, startMs);
    say(`  ${messages.payloads.length} messages of one reading, ${shots} shots`);
    const variants = {
      ours: () => onNewBroker(product, messages),
      baseline: () => onNewBroker(bareSubscriber, messages),
    };
    const found = await inTurns(rounds, variants, say);
    const ratio = found.ours / found.baseline;
    return { name: "qos1-single", ...found, unit: "messages/s", ratio, better: "higher", ask: 0.8 };
  },
};

/** A session left over from another round would be filled as well, and so slow the next one down. */
async function onNewBroker(
  measure: (broker: Mosquitto, messages: PressMessages) => Promise<number>,
  messages: PressMessages,
): Promise<number> {
  const broker = await mosquitto();
  try {
    return await measure(broker, messages);
  } finally {
    await broker.remove();
  }
}

async function bareSubscriber(broker: Mosquitto, messages: PressMessages): Promise<number> {
  const words = (many: number): string[] => [
    "dist/tests/bench/counting-subscriber.js",
    ...[broker.url, `bench-${process.pid}`, "ostrimvale/#", String(many)],
  ];
  await startNode(words(0)).exit();
  await fill(broker, messages);
  const counting = startNode(words(messages.payloads.length));
  const [, rate] = await counting.says(/rate ([\d.]+)/, 300_000);
  await counting.exit();
  return Number(rate);
}

async function product(broker: Mosquitto, messages: PressMessages): Promise<number> {
  const folder = temporaryFolder();
  const port = await freePort();
  const url = `http://127.0.0.1:${port}`;
  const begin = () =>
    startNode(["dist/api/main.js"], {
      STEADYPOUR_CONFIG: "simulator/ostrimvale.yaml",
      STEADYPOUR_DATA: folder.path,
      STEADYPOUR_HTTP_PORT: String(port),
      STEADYPOUR_BROKER_URL: broker.url,
    });
  try {
    const subscribing = begin();
    await eventually("the product is ready", () => answers(`${url}/readyz`), 30_000);
    await subscribing.stop();
    await fill(broker, messages);
    const running = begin();
    const firstMs = await eventually(
      "the first reading",
      async () => ((await stored(url)) > 0 ? performance.now() : undefined),
      60_000,
    );
    const already = await stored(url);
    await eventually("all readings", async () => (await stored(url)) >= messages.payloads.length, 300_000);
    await eventually("the last shot", () => answers(`${url}/api/runs/${messages.lastRun}`), 60_000);
    const tookMs = performance.now() - firstMs;
    await running.stop();
    return (1000 * (messages.payloads.length - already)) / tookMs;
  } finally {
    folder.remove();
  }
}

/** Publishes everything into the sessions that wait, and returns when the broker has it. */
async function fill(broker: Mosquitto, { payloads, topicOf }: PressMessages): Promise<void> {
  const client = await publisher(broker.url);
  await new Promise<void>((resolve, reject) => {
    let acknowledged = 0;
    let next = 0;
    const send = (): void => {
      const index = next;
      next += 1;
      client.publish(topicOf(index), payloads[index]!, { qos: 1 }, (error) => {
        if (error) reject(error);
        acknowledged += 1;
        if (acknowledged === payloads.length) resolve();
        else if (next < payloads.length) send();
      });
    };
    for (let open = 0; open < 1_000; open += 1) send();
  });
  await client.endAsync();
}

async function answers(url: string): Promise<boolean> {
  return fetch(url).then(
    (response) => response.ok,
    () => false,
  );
}

async function stored(url: string): Promise<number> {
  try {
    const response = await fetch(`${url}/api/counts`);
    return ((await response.json()) as { stored: number }).stored;
  } catch {
    // Not listening yet.
    return 0;
  }
}
