import { join } from "node:path";
import type { MqttClient } from "mqtt";
import { afterEach, beforeEach, expect, test } from "vitest";
import { openSampleStore } from "../../../collector/store/embedded/embedded-sample-store.ts";
import { eventually } from "../../eventually.ts";
import { freePort } from "../../system/free-port.ts";
import { nodeOptions, type RunningProcess, start } from "../../system/running-process.ts";
import { temporaryFolder } from "../../temporary-folder.ts";
import { T0 } from "../../unit/decode/decoding.ts";
import { sendNumbered } from "../disk/press-readings.ts";
import { publisher } from "../publisher.ts";
import { places, pressure } from "../store/incoming.ts";

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

/** The door as a process whose files may grow to so many KiB: beyond, the system refuses to write, as on a full disk. */
async function open(port: number, mostKib: number | "unlimited"): Promise<RunningProcess> {
  const command = `ulimit -f ${mostKib}; exec ${process.execPath} ${nodeOptions.join(" ")} dist/tests/contract/door.js ${join(folder.path, "data")} ${port}`;
  const running = start("/bin/bash", ["-c", command]);
  await running.says(/ready/);
  return running;
}

test("a disk without room stops the acknowledging, loses nothing, and all arrives once there is room", async () => {
  const port = await freePort();
  door = await open(port, 150);
  sender = await publisher(`mqtt://127.0.0.1:${port}`);
  const count = 1_500;
  const acknowledged = sendNumbered(sender, 0, count);
  await door.says(/store: store-unavailable: .*readings\.sqlite/);
  await eventually("the sender has heard of it", () => sender?.connected === false);
  door.signal("SIGKILL");
  await door.exit();
  const before = new Set(acknowledged);
  expect(before.size).toBeLessThan(count);
  expect(storedOf([...before])).toEqual([...before]);

  door = await open(port, "unlimited");
  await eventually("all is acknowledged", () => acknowledged.size === count, 120_000);
  expect(await door.stop()).toBe(0);
  expect(storedOf([...acknowledged])).toHaveLength(count);
});

/** Those of these readings that are in the store. */
function storedOf(wanted: readonly number[]): readonly number[] {
  const store = openSampleStore(join(folder.path, "data"), places);
  const range = { series: pressure, fromMs: 0, toMs: 2 * T0 };
  const stored = new Set(store.read(range, { includeLate: true }).map((sample) => sample.value));
  store.close();
  return wanted.filter((n) => stored.has(n));
}
