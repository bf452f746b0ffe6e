import { connect, type MqttClient } from "mqtt";
import type { Browser, Page } from "playwright-core";
import { afterAll, beforeAll, expect, test } from "vitest";
import type { WireRun } from "../../api/contract/wire.ts";
import { type Mosquitto, mosquitto } from "../contract/mosquitto.ts";
import { eventually } from "../eventually.ts";
import { keepPicture, openBrowser, openSession, overhang, type Session, seriousFindings, sizes } from "./browser.ts";
import { type RunningSite, startSite } from "./running-site.ts";

// The real product at a real Mosquitto that loses messages, is stopped and wiped, and what a person sees of it. One story
// in its order.
let broker: Mosquitto;
let site: RunningSite;
let browser: Browser;
let gateway: MqttClient;
const sessions: Session[] = [];
let seq = 0;

beforeAll(async () => {
  broker = await mosquitto({ persistence: true, mostQueued: 20 });
  site = await startSite("simulator/ostrimvale.yaml", {
    STEADYPOUR_BROKER_URL: broker.url,
    STEADYPOUR_BROKER_VERSION: "5",
  });
  browser = await openBrowser();
  gateway = connect(broker.url, { reconnectPeriod: 200 });
  gateway.on("error", () => undefined);
});

afterAll(async () => {
  for (const one of sessions) await one.close();
  gateway?.end(true);
  await browser?.close();
  await site?.stop();
  await broker?.remove();
});

async function send(kind: string, body: Readonly<Record<string, unknown>>): Promise<void> {
  const message = { v: 1, kind, source: "GW-PO", seq: seq++, ...body };
  await gateway.publishAsync(`ostrimvale/GW-PO/${kind}`, JSON.stringify(message), { qos: 1 });
}

/** A pour of four seconds that ended just now, in which so many messages get lost on the way. */
async function pour(lost: number): Promise<void> {
  const startMs = Date.now() - 4_000;
  const half = (t: number) => {
    const values = Array.from({ length: 20 }, (_, i) => 750 - 0.04 * i + 0.3 * Math.sin(i));
    return send("readings", { readings: [{ series: "PO-A/stream", t, everyMs: 100, values, unit: "Cel" }] });
  };
  await send("event", { series: "PO-A/pour", t: startMs, value: 1, attributes: { part: "OFW-2107" } });
  await half(startMs);
  seq += lost;
  await half(startMs + 2_000);
  await send("event", { series: "PO-A/pour", t: startMs + 4_000, value: 0, attributes: { part: "OFW-2107" } });
}

async function session(size: (typeof sizes)[keyof typeof sizes] = sizes.desk): Promise<Page> {
  const one = await openSession(browser, site.url, size);
  sessions.push(one);
  return one.page;
}

async function looksRight(page: Page, name: string, size: { readonly width: number }): Promise<void> {
  expect(await seriousFindings(page), name).toEqual([]);
  await expect.poll(() => overhang(page), { message: name }).toBeLessThanOrEqual(0);
  await keepPicture(page, `${name}-${size.width}`);
}

test("messages that never came stand at the station, and over the trace of the run that lacks them", async () => {
  const page = await session();
  await page.goto("/");
  await pour(3);
  const station = page.locator("[data-station=PO-A] [data-trouble]");
  await station.waitFor({ timeout: 60_000 });
  await expect.poll(() => station.innerText()).toBe("3 messages missing");
  const run = await eventually("the run is cut", async () => {
    const { items } = await site.ask<{ readonly items: readonly WireRun[] }>("/api/runs?station=PO-A");
    return items[0];
  });
  await page.goto(`/run/${encodeURIComponent(run.id)}`);
  const words = page.locator("[data-missing]");
  await words.waitFor();
  await expect
    .poll(() => words.innerText())
    .toMatch(/^3 messages of GW-PO never came, between \d\d:\d\d:\d\d and \d\d:\d\d:\d\d/);
  await page.goto("/bench/PO-A%3Apour.T1%3AOFW-2107");
  const bench = page.locator("[data-source-trouble=GW-PO]");
  await bench.waitFor();
  await expect.poll(() => bench.innerText()).toMatch(/^3 messages of GW-PO never came/);
});

test("a broker that is away is told on an open page, and no longer when it is back", async () => {
  const page = await session();
  await page.goto("/");
  await page.locator("[data-station=PO-A]").waitFor();
  await broker.stop();
  const away = page.locator("[data-door=broker-away]");
  await away.waitFor({ timeout: 60_000 });
  await expect.poll(() => away.innerText()).toMatch(/^Not connected to the broker: no readings come in/);
  await broker.start();
  await away.waitFor({ state: "detached", timeout: 60_000 });
});

test.each(Object.entries(sizes))(
  "after a wipe the Floor says at %s size that the session was lost, beside all the rest",
  async (name, size) => {
    if (name === "desk") {
      await broker.kill();
      broker.wipe();
      await broker.start();
    }
    const page = await session(size);
    await page.goto("/");
    const lost = page.locator("[data-door=session-lost]");
    await lost.waitFor({ timeout: 60_000 });
    await expect.poll(() => lost.innerText()).toMatch(/^\d\d:\d\d: the broker no longer knew us/);
    await page.locator("[data-station=PO-A] [data-trouble]").waitFor();
    await looksRight(page, "source-trouble", size);
    if (name === "desk") {
      await page.getByRole("button", { name: "Night colours" }).click();
      await looksRight(page, "source-trouble-night", size);
    }
  },
  300_000,
);

test("what the broker dropped while the product was away is told with its count, and the gap stands at the station", async () => {
  site.product().signal("SIGTERM");
  await site.product().exit();
  for (let n = 0; n < 50; n++) {
    const reading = { series: "PO-A/stream", t: Date.now(), value: 750 + n / 100, unit: "Cel" };
    await send("readings", { readings: [reading] });
  }
  await site.restart();
  const page = await session();
  await page.goto("/");
  const dropped = page.locator("[data-door=messages-dropped]");
  await dropped.waitFor({ timeout: 60_000 });
  await expect
    .poll(() => dropped.innerText())
    .toMatch(/the broker dropped messages because a queue was full, 30 so far/);
  // Mosquitto drops the newest: the next one that comes shows the gap.
  await pour(0);
  await page
    .locator("[data-station=PO-A] [data-trouble]", { hasText: "33 messages missing" })
    .waitFor({ timeout: 60_000 });
});

test("no page had an error", () => {
  expect(sessions.flatMap(({ wrongs }) => wrongs)).toEqual([]);
});
