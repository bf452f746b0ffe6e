import { pino } from "pino";
import { afterEach, beforeEach, expect, test } from "vitest";
import { memoryBus } from "../../../collector/platform/bus.ts";
import { embeddedBroker } from "../../../collector/source/embedded-broker.ts";
import { type Collector, openSiteData, startCollector } from "../../../collector/start.ts";
import type { DataFolder } from "../../../collector/store/embedded/open-data-folder.ts";
import { eventually } from "../../eventually.ts";
import { type ManualClock, manualClock } from "../../fakes/manual-clock.ts";
import { temporaryFolder } from "../../temporary-folder.ts";
import { publisher } from "../publisher.ts";
import { site, startMs } from "./press-line.ts";

// The whole collector behind its own broker and real sockets, on a clock that the test moves. The test shares its event
// loop: for as long as it does not let go, what it sends lies unread.
const presses = ["PR-01", "PR-02"] as const;
let folder: ReturnType<typeof temporaryFolder>;
let data: DataFolder;
let clock: ManualClock;
let collector: Collector;
let clients: ReadonlyMap<string, Awaited<ReturnType<typeof publisher>>>;
let sent: number;

beforeEach(async () => {
  folder = temporaryFolder();
  data = openSiteData(folder.path, site);
  clock = manualClock(startMs);
  sent = 0;
  const source = embeddedBroker({ host: "127.0.0.1", port: 0, clock });
  collector = await startCollector({ site, data, source, clock, bus: memoryBus(), log: pino({ level: "silent" }) });
  // A gateway's presses each have a connection of their own.
  const connected = presses.map(
    async (press) => [press, await publisher(`mqtt://127.0.0.1:${source.port()}`)] as const,
  );
  clients = new Map(await Promise.all(connected));
});
afterEach(async () => {
  for (const client of clients.values()) await client.endAsync(true);
  await collector.stop();
  data.close();
  folder.remove();
});

function send(press: string, t: number): void {
  const readings = [{ series: `${press}/pressure`, t, value: 0.05, unit: "bar" }];
  const topic = site.sources.find(({ id }) => id === "GW-PR")!.topic.replace("#", press);
  clients.get(press)!.publish(topic, JSON.stringify({ v: 1, kind: "readings", source: "GW-PR", readings }));
  sent += 1;
}

/** Lets a second go by once all that was sent has been taken. */
async function second(): Promise<void> {
  await eventually("all is taken", () => collector.status().intake.unconfirmed === sent, 60_000, 1);
  for (let turn = 0; turn < 20; turn += 1) {
    clock.advance(50);
    await new Promise((resolve) => setImmediate(resolve));
  }
}

async function live(seconds: number): Promise<void> {
  for (let at = 0; at < seconds; at += 1) {
    for (const press of presses) send(press, clock.nowMs());
    await second();
  }
}

const silences = () => data.journal.read({ kinds: ["silence"] });

test("standing still for two minutes while the plant sends on calls nobody silent, and a plant that falls silent then is", async () => {
  await live(20);
  const kept: number[] = [];
  for (let at = 0; at < 120; at += 1) {
    send("PR-01", clock.nowMs());
    // What finds no room in a socket any more is sent when there is.
    kept.push(clock.nowMs());
    clock.advance(1_000);
  }
  await second();
  for (const t of kept) send("PR-02", t);
  await live(20);
  expect(data.samples.latest("PR-01/pressure")?.tMs).toBe(clock.nowMs() - 1_000);
  expect(silences()).toEqual([]);

  for (let at = 0; at < 70; at += 1) await second();
  expect(silences()).toMatchObject([{ body: { source: "GW-PR", wholeSource: true } }]);
});
