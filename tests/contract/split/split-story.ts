import { copyFileSync, mkdirSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { pino } from "pino";
import { expect } from "vitest";
import type { WireBench } from "../../../api/contract/bench-wire.ts";
import type { WireFlag, WireFloor } from "../../../api/contract/wire.ts";
import { pipeline } from "../../../collector/pipeline/pipeline.ts";
import { memoryBus } from "../../../collector/platform/bus.ts";
import { systemClock } from "../../../collector/platform/clock.ts";
import { openSiteData } from "../../../collector/start.ts";
import { openJournal } from "../../../collector/store/embedded/embedded-journal.ts";
import { limitsEntry } from "../../../collector/store/entries.ts";
import type { StoredEntry } from "../../../spc/model/journal-entry.ts";
import { charted, pourAt } from "../../e2e/bench-plant.ts";
import { openGateway } from "../../e2e/gateway.ts";
import { eventually } from "../../eventually.ts";
import { partOfDemo } from "../../part-of-demo.ts";
import { pressLimits } from "../../press-limits.ts";
import { site } from "../../soak/store-check.ts";
import { temporaryFolder } from "../../temporary-folder.ts";
import { as } from "../api/as.ts";
import { post } from "../api/ask.ts";
import { type Part, type SplitSite, splitSite } from "./split-site.ts";

/** So wide that no wait of a busy machine makes a reading late: a pour is complete when the next one is there. */
const settings = partOfDemo("PO-A", "PR-01").replace(/^lateness: .*$/m, "lateness: 300 s");
const everyMs = 400_000;
const began = Math.floor(Date.now() / 1_000) * 1_000 - 14 * everyMs;
const limits = pressLimits(charted, {
  location: { centre: 750, lower: 739.5, upper: 760.5, sigma: 3.5 },
  spread: { centre: 3.95, lower: 0, upper: 12.9, sigma: 3 },
  reason: "a known past",
});

interface Ran {
  readonly found: readonly unknown[];
  readonly decided: readonly unknown[];
  readonly read: readonly unknown[];
}

/** What the journal says that does not depend on when it was found. */
function foundIn(entries: readonly StoredEntry[]): readonly unknown[] {
  return entries
    .filter(({ kind, station }) => (kind === "run" || kind === "point" || kind === "signal") && station === "PO-A")
    .map((entry) => ({
      ...{ id: entry.id, kind: entry.kind, subject: entry.subject },
      body: entry.kind === "signal" ? entry.body.signal : entry.body,
    }))
    .sort((a, b) => (a.id < b.id ? -1 : 1));
}

async function doneWith(running: SplitSite): Promise<string> {
  const flag = await eventually("a flag is up", async () => {
    const { items } = await running.ask<{ items: readonly WireFlag[] }>("/api/flags?state=open");
    return items.find(({ station }) => station === "PO-A");
  });
  const url = `${running.url}/api/flags/${encodeURIComponent(flag.id)}`;
  for (const [verb, body] of [
    ["take", {}],
    ["done", { cause: "steam supply", note: "" }],
  ] as const) {
    const answer = await fetch(`${url}/${verb}`, post(body, as("night-lead")));
    expect(answer.status, await answer.text()).toBe(200);
  }
  return flag.id;
}

function entriesOf(data: string): readonly StoredEntry[] {
  const journal = openJournal(data);
  const entries = journal.read({});
  journal.close();
  return entries;
}

const applied = (data: string, count: number): Promise<unknown> =>
  eventually(
    "what was decided took effect",
    () => entriesOf(data).filter(({ kind, station }) => kind === "applied" && station === "PO-A").length === count,
  );

/** The same story in one process, and in two of which each is killed alone at the worst moments. */
async function ran(data: string, apart: boolean): Promise<Ran> {
  mkdirSync(data);
  const config = join(data, "site.yaml");
  writeFileSync(config, settings);
  const before = openJournal(data);
  before.append([limitsEntry("PO-A", limits)]);
  before.close();
  const running = await splitSite(data, apart, { STEADYPOUR_CONFIG: config });
  const gateway = openGateway(running.mqttUrl, "GW-PO");
  const runs = (count: number): Promise<unknown> =>
    eventually(
      `${count} runs are in`,
      async () => {
        const { points } = await running.ask<WireBench>(`/api/characteristics/${encodeURIComponent(charted)}/bench`);
        return points.length === count;
      },
      60_000,
    );
  const pour = (place: number, celsius: number): Promise<void> => pourAt(gateway, began + place * everyMs, celsius);
  const killed = async (part: Part): Promise<void> => (apart ? running.kill(part) : undefined);
  const begin = (part: Part): void => (apart ? running.begin(part) : undefined);
  try {
    for (const [place, celsius] of [750, 752, 735, 751].entries()) await pour(place, celsius);
    await runs(3);
    await doneWith(running);
    await applied(data, 2);

    await killed("api");
    for (const [place, celsius] of [749, 730, 751].entries()) await pour(4 + place, celsius);
    begin("api");
    await running.ready();
    await runs(6);

    await gateway.event("PO-A/pour", began + 7 * everyMs, 1, { part: "OFW-2107" });
    await runs(7);
    await killed("collector");
    if (apart) await withoutCollector(running);
    // People go on deciding meanwhile.
    await doneWith(running);
    begin("collector");
    await running.ready();
    await applied(data, 3);
    for (const place of [7, 8, 9]) await pour(place, 745 + place);
    await runs(9);
    const posted = await (await sendReadings(running)).json();
    const again = await (await sendReadings(running)).json();
    const span = `from=${new Date(began).toISOString()}&to=${new Date(began + 14 * everyMs).toISOString()}`;
    const trend = await running.ask(`/api/trend?series=PO-A/stream&${span}`);
    const readings = await running.ask(`/api/readings?series=PO-A/stream&${span}`);
    const { stored, quarantined } = await running.ask<{ stored: number; quarantined: number }>("/api/counts");
    await running.stop();
    const entries = entriesOf(data);
    const decided = entries.filter(({ kind, station }) => kind === "applied" && station === "PO-A");
    return {
      found: foundIn(entries),
      decided: decided.map(({ id, body }) => ({ id, body })),
      read: [posted, again, trend, readings, { stored, quarantined }],
    };
  } finally {
    await gateway.close();
    await running.stop();
  }
}

function sendReadings({ url }: SplitSite): Promise<Response> {
  const values = [0.7, 0.71, 0.72];
  const readings = [{ series: "PR-01/pressure", t: began, everyMs: 50, values, unit: "bar" }];
  const body = JSON.stringify({ v: 1, kind: "readings", source: "GW-PR", seq: 1, readings });
  return fetch(`${url}/api/readings`, { method: "POST", body, headers: { "content-type": "application/json" } });
}

/** The pages go on, say what is wrong, and nothing that is sent is thought to be kept. */
async function withoutCollector(running: SplitSite): Promise<void> {
  await eventually("the api says that the collector is away", async () => {
    const { door, freshness } = await running.ask<WireFloor>("/api/floor");
    const state = freshness.find(({ station }) => station === "PO-A")?.state;
    return door[0]?.code === "collector-away" && state === "silent";
  });
  const ready = await fetch(`${running.url}/readyz`);
  expect([ready.status, await ready.text()]).toEqual([503, expect.stringContaining("collector")]);
  const answer = await sendReadings(running);
  expect([answer.status, answer.headers.get("retry-after")]).toEqual([503, "1"]);
}

/** What the same readings and the same decisions give from nothing. */
async function replayed(data: string, folder: string): Promise<readonly unknown[]> {
  mkdirSync(folder);
  copyFileSync(join(data, "readings.sqlite"), join(folder, "readings.sqlite"));
  const made = new Set(["run", "point", "signal", "instrument", "common"]);
  const opened = openSiteData(folder, site);
  opened.journal.append(entriesOf(data).filter(({ kind }) => !made.has(kind)));
  const { samples: store, journal } = opened;
  const log = pino({ level: "silent" });
  let laterMs = 0;
  const clock = { ...systemClock, nowMs: () => systemClock.nowMs() + laterMs };
  const line = pipeline({ site, store, journal, clock, bus: memoryBus(), log });
  await line.drain();
  // Without more news the last samples become complete.
  laterMs = 120_000;
  await line.drain();
  const found = foundIn(journal.read({}));
  opened.close();
  return found;
}

/**
 * Runs the story in one process and in two, and holds everything they found, decided and can read against each other, and
 * against a replay of the same readings and decisions.
 */
export async function sameApart(): Promise<void> {
  const folder = temporaryFolder();
  try {
    const whole = await ran(join(folder.path, "whole"), false);
    const apart = await ran(join(folder.path, "apart"), true);
    expect(whole.found.length).toBeGreaterThan(9 * 2);
    expect(whole.decided).toHaveLength(3);
    expect(apart).toEqual(whole);
    expect(await replayed(join(folder.path, "apart"), join(folder.path, "again"))).toEqual(whole.found);
  } finally {
    folder.remove();
  }
}
