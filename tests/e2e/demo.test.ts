import { createServer, type Server } from "node:net";
import { afterAll, beforeAll, expect, test } from "vitest";
import type { WireCharacteristic, WireFlag, WireFloor, WireRun, WireRunSheet } from "../../api/contract/wire.ts";
import { eventually } from "../eventually.ts";
import { freePort } from "../system/free-port.ts";
import { type RunningProcess, start as startProcess } from "../system/running-process.ts";
import { temporaryFolder } from "../temporary-folder.ts";

// What `npm run demo` promises a newcomer, over a data folder of the test's own. One story, in its order.
const folder = temporaryFolder();
const began = performance.now();
let demo: RunningProcess;
let occupier: Server;
let occupied: number;
let url: string;

beforeAll(async () => {
  occupied = await freePort();
  occupier = createServer();
  await new Promise<void>((resolve) => occupier.listen(occupied, "127.0.0.1", resolve));
  demo = await start();
});

afterAll(async () => {
  await demo?.stop();
  occupier?.close();
  folder.remove();
});

test("it prints where it is ready, on the next free port when one is taken", async () => {
  const [, http, mqtt] = await demo.says(/^ready: (http:\/\/127\.0\.0\.1:\d+) (mqtt:\/\/127\.0\.0\.1:\d+)$/m);
  expect(Number(new URL(http!).port)).toBeGreaterThan(occupied);
  expect(Number(new URL(mqtt!).port)).toBeGreaterThan(0);
  expect((await fetch(`${url}/`)).headers.get("content-type")).toMatch(/text\/html/);
});

test("as soon as it is ready, the Floor shows 100 points or more on a chart of each of the five quantities", async () => {
  const most = await eventually("five quantities have their points", longestCharts);
  // The promise is 30 s on a machine that does nothing else; here the other tests run beside it.
  console.log(`the Floor had its points ${Math.round((performance.now() - began) / 1000)} s after the start:`, most);
});

test("within three minutes a run that arrived as a stream is flagged", async () => {
  const flag = await eventually(
    "a flag of a run",
    async () => (await ask<{ items: WireFlag[] }>("/api/flags")).items.find(({ run }) => run !== null),
    // The promise is from the start on, on a machine that does nothing else: how long it took is said below.
    180_000,
    500,
  );
  console.log(
    `first flag ${Math.round((performance.now() - began) / 1000)} s after the start: ${flag.station} ${flag.says}`,
  );
  const sheet = await ask<WireRunSheet>(`/api/runs/${encodeURIComponent(flag.run!)}`);
  expect(sheet.run.imported).toBe(false);
  // A weighing is a reading or two, a shot some thousands.
  expect(Math.max(...sheet.traces.map(({ value }) => value.length))).toBeGreaterThan(0);
}, 240_000);

test("started again over the same data it imports nothing twice, repeats no run, and goes on", async () => {
  const before = await importedPoints();
  expect(await demo.stop()).toBe(0);
  demo = await start();
  expect(demo.said()).not.toMatch(/making .* past runs/);
  expect(await importedPoints()).toEqual(before);
  const atStart = await ask<{ stored: number; quarantined: number }>("/api/counts");
  await eventually(
    "new readings are stored",
    async () => (await ask<{ stored: number }>("/api/counts")).stored > atStart.stored,
    120_000,
  );
  expect(atStart.quarantined).toBe(0);
  const ids = await runIds("PO-A");
  expect(ids.length).toBeGreaterThan(0);
  expect(new Set(ids).size).toBe(ids.length);
});

test("it ends with the product and the plant, and leaves nobody listening", async () => {
  expect(await demo.stop()).toBe(0);
  await expect(fetch(`${url}/healthz`)).rejects.toThrow();
});

async function start(): Promise<RunningProcess> {
  // By npm, as a newcomer does: what ends npm must end the demo too, and not only the shell between them.
  const started = startProcess("npm", ["run", "-s", "demo"], {
    STEADYPOUR_DATA: folder.path,
    STEADYPOUR_HTTP_PORT: String(occupied),
    STEADYPOUR_MQTT_PORT: String(await freePort()),
  });
  const [, http] = await started.says(/^ready: (http:\S+) mqtt:\S+$/m, 170_000);
  url = http!;
  return started;
}

async function ask<T>(path: string): Promise<T> {
  const answer = await fetch(`${url}${path}`);
  if (!answer.ok) throw new Error(`${path} answered ${answer.status}`);
  return (await answer.json()) as T;
}

/** What a newcomer sees first; the other stages have no past of their own yet, or less of it. */
const fiveQuantities = [
  "steam-pressure",
  "dryer-humidity",
  "oven-temperature",
  "vibration-acceleration",
  "pour-temperature",
];

/** By quantity the points of its longest chart, once all five have 100 or more. */
async function longestCharts(): Promise<Record<string, number> | false> {
  const { characteristics } = await ask<WireFloor>("/api/floor");
  const most: Record<string, number> = {};
  for (const { characteristic, strip } of characteristics) {
    most[characteristic.quantity] = Math.max(most[characteristic.quantity] ?? 0, strip.run.length);
  }
  const counts = fiveQuantities.map((quantity) => most[quantity] ?? 0);
  return counts.every((count) => count >= 100) && most;
}

async function importedPoints(): Promise<Record<string, number>> {
  const { items } = await ask<{ items: WireCharacteristic[] }>("/api/characteristics");
  // A chart by part may begin at any moment, without a past.
  const past = items.filter(({ points }) => points.imported > 0);
  return Object.fromEntries(past.map(({ id, points }) => [id, points.imported]));
}

async function runIds(station: string): Promise<string[]> {
  const ids: string[] = [];
  let after = "";
  do {
    const page = await ask<{ items: WireRun[]; next: string | null }>(
      `/api/runs?station=${station}&limit=1000${after}`,
    );
    ids.push(...page.items.map(({ id }) => id));
    after = page.next === null ? "" : `&after=${encodeURIComponent(page.next)}`;
  } while (after !== "");
  return ids;
}
