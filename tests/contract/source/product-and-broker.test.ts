import { writeFileSync } from "node:fs";
import { join } from "node:path";
import type { MqttClient } from "mqtt";
import { afterEach, beforeEach, expect, test } from "vitest";
import type { WireDoorTrouble, WireFreshness } from "../../../api/contract/wire.ts";
import { type RunningSite, startSite } from "../../e2e/running-site.ts";
import { eventually } from "../../eventually.ts";
import { startNode } from "../../system/running-process.ts";
import { temporaryFolder } from "../../temporary-folder.ts";
import { siteText } from "../../unit/platform/settings/site-text.ts";
import { type Mosquitto, mosquitto } from "../mosquitto.ts";
import { type ThrowAwayAuthority, throwAwayAuthority } from "../notify/throw-away-authority.ts";
import { publisher } from "../publisher.ts";

// The product as it is started, at a Mosquitto behind TLS and a password, both of them stopped, killed and wiped.
const secret = "pass phrase of the test";
const login = { user: "steadypour", password: secret };
interface Counts {
  readonly received: number;
  readonly stored: number;
  readonly duplicate: number;
  readonly acknowledged: number;
  readonly sequenceGaps: Readonly<Record<string, number>>;
  readonly broker: { readonly sessionsLost: number } | null;
}
interface Floor {
  readonly door: readonly WireDoorTrouble[];
  readonly freshness: readonly WireFreshness[];
}
let authority: ThrowAwayAuthority;
let broker: Mosquitto;
let gateway: MqttClient;
let site: RunningSite | undefined;
let folder: ReturnType<typeof temporaryFolder>;
beforeEach(async () => {
  folder = temporaryFolder();
  authority = throwAwayAuthority();
  broker = await mosquitto({ persistence: true, tls: authority, login });
  gateway = await publisher(broker.url, { ca: authority.authority, username: login.user, password: secret });
});
afterEach(async () => {
  gateway.end(true);
  await site?.stop();
  expect(site?.product().said() ?? "").not.toContain(secret);
  site = undefined;
  await broker.remove();
  authority.remove();
  folder.remove();
});

/** Settings that name broker and files, with the password in a file. */
async function start(more: Readonly<Record<string, string>> = {}): Promise<RunningSite> {
  const passwordFile = join(folder.path, "password");
  writeFileSync(passwordFile, `${secret}\n`);
  const settings = join(folder.path, "site.yaml");
  const access = { url: broker.url, version: 5, user: login.user, passwordFile, caFile: authority.file };
  writeFileSync(settings, `${siteText}broker: ${JSON.stringify(access)}\n`);
  site = await startSite(settings, { STEADYPOUR_LOG: "info", ...more });
  return site;
}
const counts = (): Promise<Counts> => (site as RunningSite).ask<Counts>("/api/counts");
const floor = (): Promise<Floor> => (site as RunningSite).ask<Floor>("/api/floor");

let seq = 0;
beforeEach(() => {
  seq = 0;
});
async function send(count: number, skip = 0): Promise<void> {
  seq += skip;
  const sent: Promise<unknown>[] = [];
  for (let n = 0; n < count; n++, seq++) {
    const t = Date.now() - 60_000 + seq;
    const reading = { series: "PR-01/pressure", t, value: 0.9, unit: "bar" };
    const body = JSON.stringify({ v: 1, kind: "readings", source: "GW-PR", seq, readings: [reading] });
    sent.push(gateway.publishAsync("small/GW-PR/readings", body, { qos: 1 }));
  }
  await Promise.all(sent);
}

test("stopped in the middle of a stream it commits and acknowledges what it took: nothing comes twice, nothing is lost", async () => {
  const running = await start();
  const streaming = send(20_000);
  await eventually("some of it is stored", async () => (await counts()).stored > 500);
  running.product().signal("SIGTERM");
  expect(await running.product().exit()).toBe(0);
  await streaming;
  await running.restart();
  await eventually("all of it is stored", async () => (await counts()).stored === 20_000);
  expect(await counts()).toMatchObject({
    received: 20_000,
    acknowledged: 20_000,
    duplicate: 0,
    sequenceGaps: { "GW-PR": 0 },
  });
});

test("a broker that is stopped is told on the Floor, and what came meanwhile is taken when it is back", async () => {
  await start();
  await send(10);
  await eventually("stored", async () => (await counts()).stored === 10);
  await broker.stop();
  await eventually("told", async () => (await floor()).door.some(({ code }) => code === "broker-away"));
  await broker.start();
  await send(10);
  await eventually("stored", async () => (await counts()).stored === 20);
  expect((await floor()).door).toEqual([]);
});

test("a broker that was wiped while we were away lost our session: told on the Floor and counted, and the gap at the station", async () => {
  const running = await start();
  await send(10);
  await eventually("stored", async () => (await counts()).stored === 10);
  running.product().signal("SIGTERM");
  await running.product().exit();
  await send(5);
  await broker.kill();
  broker.wipe();
  await broker.start();
  await running.restart();
  expect((await counts()).broker).toMatchObject({ sessionsLost: 1 });
  expect((await floor()).door).toMatchObject([{ code: "session-lost" }]);
  expect(running.product().said()).toContain("the broker no longer had our session");
  await send(1);
  await eventually("the gap is counted", async () => (await counts()).sequenceGaps["GW-PR"] === 5);
  // A moment later: messages may overtake each other.
  await eventually(
    "the gap stands at the station",
    async () => (await floor()).freshness[0]?.missing?.messages === 5,
    60_000,
    500,
  );
});

test("files that are of no use keep it from starting, and it says which and why", async () => {
  const settings = join(folder.path, "site.yaml");
  const access = { url: broker.url, user: login.user, passwordFile: join(folder.path, "no-such-file") };
  writeFileSync(settings, `${siteText}broker: ${JSON.stringify(access)}\n`);
  const product = startNode(["dist/api/main.js"], {
    STEADYPOUR_CONFIG: settings,
    STEADYPOUR_DATA: join(folder.path, "data"),
    STEADYPOUR_HTTP_PORT: "0",
  });
  expect(await product.exit()).toBe(2);
  expect(product.said()).toMatch(/no-such-file.*: no use for the broker's password: ENOENT/);
});
