import { readFileSync } from "node:fs";
import { join } from "node:path";
import { afterEach, beforeEach, expect, test } from "vitest";
import { eventually } from "../../eventually.ts";
import { requireCommand } from "../../system/find-command.ts";
import { type RunningProcess, start } from "../../system/running-process.ts";
import { temporaryFolder } from "../../temporary-folder.ts";
import { oneReading, readingsOf, T0 } from "../../unit/decode/decoding.ts";
import { type Mosquitto, mosquitto } from "../mosquitto.ts";
import { publisher } from "../publisher.ts";
import { wireTap } from "../wire-tap.ts";
import { doorSteps } from "./system-call-trace.ts";

let folder: ReturnType<typeof temporaryFolder>;
let door: RunningProcess | undefined;
let broker: Mosquitto | undefined;
beforeEach(() => {
  folder = temporaryFolder();
});
afterEach(async () => {
  await door?.stop();
  await broker?.remove();
  door = broker = undefined;
  folder.remove();
});

/** Starts source, intake and store under strace. */
function traced(...words: readonly string[]): RunningProcess {
  const calls = "trace=fsync,fdatasync,read,write,writev,sendto,sendmsg,recvfrom";
  // -D: strace steps aside, so that signals reach the product itself.
  const options = ["-D", "-f", "-yy", "-xx", "-s", "65536", "-e", calls, "-o", join(folder.path, "trace")];
  const program = [process.execPath, "dist/tests/contract/door.js", join(folder.path, "data"), ...words];
  return start(requireCommand("strace"), [...options, ...program]);
}
const count = 10;
const message = (n: number) => JSON.stringify(readingsOf(oneReading({ t: T0 - 1000 + n, value: n })));

test("the embedded broker writes each PUBACK after the sync of the file that holds its message has returned", async () => {
  door = traced();
  const [, url] = await door.says(/ready: (\S+)/);
  const sender = await publisher(url!);
  for (let n = 0; n < count; n++) await sender.publishAsync("ostrimvale/GW-PR/readings", message(n), { qos: 1 });
  await sender.endAsync();
  expect(await door.stop()).toBe(0);
  expectSyncBetween();
});

test("the external source writes each PUBACK after the sync of the file that holds its message has returned", async () => {
  broker = await mosquitto();
  const tap = await wireTap(broker.port);
  door = traced(tap.url);
  await door.says(/ready/);
  const sender = await publisher(broker.url);
  for (let n = 0; n < count; n++) {
    await sender.publishAsync("ostrimvale/GW-PR/readings", message(n), { qos: 1 });
    await eventually(
      "acknowledged",
      () => tap.seen.filter((p) => p.from === "client" && p.type === 4).length === n + 1,
    );
  }
  await sender.endAsync();
  expect(await door.stop()).toBe(0);
  await tap.close();
  expectSyncBetween();
});

function expectSyncBetween(): void {
  const steps = doorSteps(readFileSync(join(folder.path, "trace"), "utf8"));
  const first = steps.indexOf("publish");
  const told = steps.slice(first).filter((step, i, all) => step !== "synced" || all[i - 1] !== "synced");
  expect(told.slice(0, 3 * count)).toEqual(Array.from({ length: count }, () => ["publish", "synced", "puback"]).flat());
}
