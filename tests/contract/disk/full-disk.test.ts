import { rmSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import type { MqttClient } from "mqtt";
import { afterAll, afterEach, expect, test } from "vitest";
import { eventually } from "../../eventually.ts";
import { partOfDemo } from "../../part-of-demo.ts";
import { freePort } from "../../system/free-port.ts";
import { type OnSmallDisk, smallDisk, startOnSmallDisk } from "../../system/small-disk.ts";
import { temporaryFolder } from "../../temporary-folder.ts";
import { publisher } from "../publisher.ts";
import { sendNumbered, storedNumbers } from "./press-readings.ts";

const folder = temporaryFolder();
const config = join(folder.path, "site.yaml");
writeFileSync(config, partOfDemo("PR-01"));
afterAll(() => folder.remove());

let product: OnSmallDisk | undefined;
let sender: MqttClient | undefined;
afterEach(async () => {
  sender?.end(true);
  await product?.stop();
});

const settings = (port: number): Readonly<Record<string, string>> => ({
  STEADYPOUR_CONFIG: config,
  STEADYPOUR_DATA: `${smallDisk}/data`,
  STEADYPOUR_HTTP_PORT: "0",
  STEADYPOUR_MQTT_PORT: String(port),
});

test("on a full disk nothing is acknowledged that is not kept, the pages stay up, and all goes on by itself once there is room", {
  timeout: 240_000,
}, async () => {
  const port = await freePort();
  product = startOnSmallDisk(["dist/api/main.js"], settings(port), { kib: 24_000, ballastKib: 23_400 });
  const running = product;
  const [, url = ""] = await running.says(/"http":"([^"]+)"/);
  await running.says(/"started"/);
  sender = await publisher(`mqtt://127.0.0.1:${port}`);
  const count = 10_000;
  const acknowledged = sendNumbered(sender, 0, count);

  await running.says(/"disk-full"|"store-unavailable"/);
  await eventually("the sender has heard of it", () => sender?.connected === false);
  expect(acknowledged.size).toBeLessThan(count);
  const kept = storedNumbers(running.seen(`${smallDisk}/data`));
  expect([...acknowledged].filter((n) => !kept.has(n))).toEqual([]);
  // The last page may have room for the first message that is sent again: then it is ready until the next.
  await eventually("it says that it is not ready", async () => {
    const ready = await fetch(`${url}/readyz`);
    return ready.status === 503 && (await ready.text()).includes("not-ready");
  });

  rmSync(running.seen(`${smallDisk}/ballast`));
  await eventually("all is acknowledged", () => acknowledged.size === count, 150_000);
  await eventually("it says that it is ready", async () => (await fetch(`${url}/readyz`)).status === 200);
  expect(storedNumbers(running.seen(`${smallDisk}/data`)).size).toBe(count);
  expect(await running.stop()).toBe(0);
});

test("on a disk that may only be read it does not start, and says why", async () => {
  product = startOnSmallDisk(["dist/api/main.js"], settings(await freePort()), { kib: 4_000, readOnly: true });
  expect(await product.exit()).toBe(2);
  expect(product.said()).toMatch(/\/mnt\/data.*(read-only|readonly|EROFS)/i);
});
