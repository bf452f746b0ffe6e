import { pino } from "pino";
import { afterEach, beforeEach, expect, test } from "vitest";
import { memoryBus } from "../../../collector/platform/bus.ts";
import type { MessageHandler, MessageSource } from "../../../collector/source/message-source.ts";
import { type Collector, openSiteData, startCollector } from "../../../collector/start.ts";
import type { DataFolder } from "../../../collector/store/embedded/open-data-folder.ts";
import { type ManualClock, manualClock } from "../../fakes/manual-clock.ts";
import { temporaryFolder } from "../../temporary-folder.ts";
import { site, startMs } from "./press-line.ts";

// The whole collector behind a source that the test speaks for, on a clock that the test moves.
let folder: ReturnType<typeof temporaryFolder>;
let data: DataFolder;
let clock: ManualClock;
let handle: MessageHandler;
let collector: Collector;
let seq: number;
beforeEach(async () => {
  folder = temporaryFolder();
  data = openSiteData(folder.path, site);
  clock = manualClock(startMs);
  seq = 0;
  const source: MessageSource = {
    start: async (given) => {
      handle = given;
    },
    status: () => ({ connected: true, detail: "", unacknowledged: 0, reconnects: 0, broker: null }),
    stop: async () => {},
  };
  collector = await startCollector({ site, data, source, clock, bus: memoryBus(), log: pino({ level: "silent" }) });
});
afterEach(async () => {
  await collector.stop();
  data.close();
  folder.remove();
});

/** Seconds of one reading each, stamped by a clock that is so far ahead of ours. */
async function live(seconds: number, aheadMs: number, unit = "bar"): Promise<void> {
  for (let second = 0; second < seconds; second++) {
    const t = clock.nowMs() + aheadMs;
    const reading = { series: "PR-01/pressure", t, value: 0.9 + (second % 7) / 1_000, unit };
    const body = { v: 1, kind: "readings", source: "GW-PR", seq: seq++, readings: [reading] };
    const payload = Buffer.from(JSON.stringify(body));
    const settled = (): void => {};
    handle({ topic: topicOf(), payload, receivedMs: clock.nowMs(), retained: false, qos: 1 }, settled);
    clock.advance(1_000);
    await new Promise((resolve) => setImmediate(resolve));
  }
}
function topicOf(): string {
  return (site.sources.find(({ id }) => id === "GW-PR")?.topic ?? "").replace("#", "readings");
}
const station = () => collector.freshness().find((one) => one.station === "PR-01");

test("a gateway whose clock is minutes off is found at its station within four minutes, and no longer when it is set right", async () => {
  await live(240, -5 * 60_000);
  expect(station()?.clockMs).toBe(-5 * 60_000);
  expect(collector.status().intake.clockOffsetsMs.get("GW-PR")).toBe(-5 * 60_000);
  await live(240, 0);
  expect(station()?.clockMs).toBeNull();
});

test("a gap stands at the station once it is ten seconds old, with the source's times around it", async () => {
  await live(3, 0);
  const beforeMs = clock.nowMs();
  seq += 4;
  await live(5, 0);
  expect(station()?.missing).toBeNull();
  await live(30, 0);
  expect(station()?.missing).toEqual({ messages: 4, afterMs: beforeMs - 1_000, beforeMs });
});

test("a source of which nothing is taken says so at its station with the code, until something is", async () => {
  await live(2, 0, "furlong");
  expect(station()?.refused).toBeNull();
  await live(5, 0, "furlong");
  expect(station()?.refused).toEqual({ messages: 7, code: "unknown-unit" });
  await live(1, 0);
  expect(station()?.refused).toBeNull();
});
