import { join } from "node:path";
import type { MqttClient } from "mqtt";
import { afterEach, beforeEach, expect, test } from "vitest";
import { eventually } from "../../eventually.ts";
import { requireCommand } from "../../system/find-command.ts";
import { freePort } from "../../system/free-port.ts";
import { nodeOptions, type RunningProcess, start } from "../../system/running-process.ts";
import { temporaryFolder } from "../../temporary-folder.ts";
import { publisher } from "../publisher.ts";
import { sendNumbered, storedNumbers } from "./press-readings.ts";

// A disk that fails or is slow: the system's answers to the process are changed by strace, on one file alone.

let folder: ReturnType<typeof temporaryFolder>;
let door: RunningProcess | undefined;
let sender: MqttClient | undefined;
beforeEach(() => {
  folder = temporaryFolder();
});
afterEach(async () => {
  sender?.end(true);
  await door?.stop();
  folder.remove();
});

const data = (): string => join(folder.path, "data");

async function open(call: string, inject: string, port: number): Promise<RunningProcess> {
  const wal = join(data(), "readings.sqlite-wal");
  // -D: strace steps aside, so that signals reach the product itself.
  const traced = [
    "-D",
    "-f",
    "-qq",
    "-o",
    "/dev/null",
    "-P",
    wal,
    "-e",
    `trace=${call}`,
    "-e",
    `inject=${call}:${inject}`,
  ];
  const words = [process.execPath, ...nodeOptions, "dist/tests/contract/door.js", data(), String(port)];
  const running = start(requireCommand("strace"), [...traced, ...words]);
  await running.says(/ready/);
  return running;
}

test.each([
  ["turns read-only for a while", "pwrite64", "error=EROFS:when=90..92"],
  ["fails to read and write for a while", "pwrite64", "error=EIO:when=90..92"],
  ["fails to sync for a while", "fsync", "error=EIO:when=4..6"],
])(
  "a disk that %s costs nothing that was acknowledged, and all arrives after",
  { timeout: 120_000 },
  async (_, call, inject) => {
    const port = await freePort();
    door = await open(call, inject, port);
    sender = await publisher(`mqtt://127.0.0.1:${port}`);
    let acknowledged = new Set<number>();
    const count = 1_200;
    // In some lots, so that there are many commits.
    for (let from = 0; from < count; from += 100) {
      const lot = sendNumbered(sender, from, 100);
      await eventually("a lot is acknowledged", () => lot.size === 100, 60_000, 5);
      acknowledged = new Set([...acknowledged, ...lot]);
      const kept = storedNumbers(data());
      expect([...acknowledged].filter((n) => !kept.has(n))).toEqual([]);
    }
    expect(door.said()).toMatch(/store: store-unavailable: .*readings\.sqlite/);
    expect(door.said()).toMatch(/store: works/);
    expect(await door.stop()).toBe(0);
    expect(storedNumbers(data()).size).toBe(count);
  },
);

test("a disk that takes 300 ms for a sync delays the acknowledgements, and takes whole groups meanwhile", {
  timeout: 120_000,
}, async () => {
  const port = await freePort();
  door = await open("fsync", "delay_enter=300000", port);
  sender = await publisher(`mqtt://127.0.0.1:${port}`);
  const began = performance.now();
  const first = sendNumbered(sender, 0, 1);
  await eventually("the first is acknowledged", () => first.size === 1, 60_000, 5);
  expect(performance.now() - began).toBeGreaterThan(290);
  const acknowledged = sendNumbered(sender, 1, 3_000);
  await eventually("all is acknowledged", () => acknowledged.size === 3_000, 60_000);
  expect(door.said()).not.toMatch(/store: /);
  expect(await door.stop()).toBe(0);
  expect(storedNumbers(data()).size).toBe(3_001);
  // One sync a message would be 900 s of them.
  expect(performance.now() - began).toBeLessThan(120_000);
});
