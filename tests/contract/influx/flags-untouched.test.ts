import { afterAll, beforeAll, expect, test } from "vitest";
import { forwarder } from "../../../collector/forward/forwarder.ts";
import { openLog } from "../../../collector/platform/log.ts";
import { eventually } from "../../eventually.ts";
import { fastClock } from "../../fakes/fast-clock.ts";
import { type InfluxServer, influxdb } from "../influxdb.ts";
import { collectorRig, found, type Rig } from "../pipeline/collector-rig.ts";
import { cycleMs, shotMessages, startMs } from "../pipeline/press-line.ts";
import { accessTo, site } from "./forward-rig.ts";
import { countsHere, countsThere } from "./same-counts.ts";
import { type TroubledProxy, troubledProxy } from "./troubled-proxy.ts";

let server: InfluxServer;
let proxy: TroubledProxy;
beforeAll(async () => {
  server = await influxdb();
  proxy = await troubledProxy(server.url);
}, 90_000);
afterAll(async () => {
  await proxy.stop();
  await server.remove();
});

const plateau = "PR-01:mold.plateau";
const plateaus = [0.9, 0.91, 0.8, 0.79, 0.9, null, 0.9, 0.78, 0.92, 0.9];

/** Shots with some that signal, one that gives nothing, and one that comes late. */
async function shots(rig: Rig, between: (place: number) => void): Promise<void> {
  rig.limits(plateau, 0.9, 1);
  for (const [place, value] of plateaus.entries()) {
    between(place);
    const messages = shotMessages({ press: "PR-01", place, plateau: value });
    for (const samples of messages) rig.commit(samples);
    rig.clock.advance(Math.max(0, startMs + (place + 1) * cycleMs - rig.clock.nowMs()));
    await rig.wait(6);
  }
}

test("runs, points, signals and flags are the same beside a store in trouble as without one, and all arrives at last", async () => {
  const alone = collectorRig();
  await shots(alone, () => undefined);
  const beside = collectorRig();
  const { samples, journal } = beside.data();
  const clock = fastClock(startMs, 1_000);
  const copy = forwarder({
    ...{ store: samples, journal, clock, site },
    log: openLog("silent"),
    access: () => accessTo(proxy.url),
  });
  const stopping = new AbortController();
  const running = copy.run(stopping.signal);
  const ways = [
    { does: "break" },
    { does: "answer", status: 500, body: "no space left on device" },
    { does: "delay", ms: 50 },
    { does: "lie", status: 204 },
  ] as const;
  await shots(beside, (place) => {
    proxy.way = ways[place % ways.length]!;
  });
  const both = [alone, beside].map((rig) => found(rig.data().journal.read({})));
  expect(both[1]).toEqual(both[0]);
  expect(beside.entries("signal").length).toBeGreaterThan(2);
  expect(beside.entries("signal").length).toBe(alone.entries("signal").length);
  expect(beside.data().samples.counts()).toEqual(alone.data().samples.counts());

  proxy.way = { does: "pass" };
  await eventually(
    "all has arrived",
    async () => JSON.stringify(await countsThere(server, "steadypour")) === JSON.stringify(countsHere(samples)),
    30_000,
  );
  const values = await eventually("run values have arrived", async () => {
    const rows = await server.ask(`SELECT "value", "run" FROM "run_value" WHERE "characteristic" = '${plateau}'`);
    return rows.length === plateaus.length && rows.map(({ value }) => value);
  });
  const runs = beside
    .entries("run")
    .map(({ body }) => body.features.find(({ feature }) => feature === "mold.plateau")?.value);
  expect(values).toEqual(runs);
  stopping.abort();
  await running;
  for (const rig of [alone, beside]) rig.close();
}, 90_000);
