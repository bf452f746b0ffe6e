import { freePort } from "../system/free-port.ts";
import { type RunningProcess, startNode } from "../system/running-process.ts";
import { startOptions } from "../system/start-words.ts";
import { temporaryFolder } from "../temporary-folder.ts";
import { alternating, type Bench } from "./bench.ts";

const count = 120_000;
const rounds = 3;
const withinMs = 180_000;

/**
 * One-reading messages of QoS 1 a second into our own broker, until all are on disk, acknowledged, cut and judged,
 * against the same messages through aedes alone to a bare MQTT.js subscriber that only counts.
 */
export const embeddedSingle: Bench = {
  name: "embedded-single",
  run: async (note) => {
    const { ours, baseline, raw } = await alternating(rounds, async (ourFirst) => {
      const rates = { ours: 0, baseline: 0 };
      const work = { ours: () => ourRate(note), baseline: () => bareRate(note) };
      const order = ["ours", "baseline"] as const;
      for (const name of ourFirst ? order : order.toReversed()) rates[name] = await work[name]();
      return rates;
    });
    note(`rounds: ${JSON.stringify(raw)}`);
    return {
      name: "embedded-single",
      ours,
      baseline,
      unit: "msg/s",
      ratio: ours / baseline,
      better: "higher",
      ask: 1.5,
    };
  },
};

async function ourRate(note: (line: string) => void): Promise<number> {
  const folder = temporaryFolder();
  const port = await freePort();
  const product = startNode([
    ...startOptions,
    "dist/tests/bench/take-ours.js",
    `listen:${port}`,
    folder.path,
    String(count),
  ]);
  try {
    await product.says(/listening/);
    const publisher = startNode(["dist/tests/bench/send-raw.js", String(port), String(count)]);
    const { began } = await lastLine(publisher, note);
    const { ended } = await lastLine(product, note);
    return (1000 * count) / (ended - began);
  } finally {
    await product.stop();
    folder.remove();
  }
}

async function bareRate(note: (line: string) => void): Promise<number> {
  const port = await freePort();
  const broker = startNode(["dist/tests/bench/take-aedes.js", String(port)]);
  try {
    await broker.says(/listening/);
    const url = `mqtt://127.0.0.1:${port}`;
    await lastLine(startNode(["dist/tests/bench/take-bare.js", url, "0"]), note);
    const subscriber = startNode(["dist/tests/bench/take-bare.js", url, String(count)]);
    await subscriber.says(/connected/);
    const publisher = startNode(["dist/tests/bench/send-raw.js", String(port), String(count)]);
    const { began } = await lastLine(publisher, note);
    const { ended } = await lastLine(subscriber, note);
    return (1000 * count) / (ended - began);
  } finally {
    await broker.stop();
  }
}

async function lastLine(
  process: RunningProcess,
  note: (line: string) => void,
): Promise<{ readonly began: number; readonly ended: number }> {
  const code = await process.exit(withinMs);
  if (code !== 0) throw new Error(`a process of the bench ended with ${code}:\n${process.said()}`);
  const line = process.said().trim().split("\n").at(-1) ?? "";
  note(line);
  return JSON.parse(line) as { began: number; ended: number };
}
