import { join } from "node:path";
import Database from "better-sqlite3";
import { afterEach, beforeEach, expect, test } from "vitest";
import type { Retention } from "../../../collector/platform/settings/retention-schema.ts";
import { openSampleStore } from "../../../collector/store/embedded/embedded-sample-store.ts";
import { type KeepRules, type KeptWithin, keepWithin } from "../../../collector/store/keep-within.ts";
import type { SampleStore } from "../../../collector/store/sample-store.ts";
import { eventually } from "../../eventually.ts";
import { type ManualClock, manualClock } from "../../fakes/manual-clock.ts";
import { temporaryFolder } from "../../temporary-folder.ts";
import { incoming, places, pressure, reading } from "./incoming.ts";

const hourMs = 3_600_000;
const dayMs = 24 * hourMs;
const t0 = Math.floor(Date.UTC(2026, 5, 1) / hourMs) * hourMs;
const forever: Retention = { readings: null, waveforms: null, events: null, snapshots: null };
const oven = "AO-1/t1";
const rms = "PR-01/shake.rms";

let folder: ReturnType<typeof temporaryFolder>;
let store: SampleStore;
let clock: ManualClock;
let told: KeptWithin[];
let stopping: AbortController;
let running: Promise<void>;
beforeEach(() => {
  folder = temporaryFolder();
  store = openSampleStore(folder.path, places);
  clock = manualClock(t0 + 10 * dayMs);
  told = [];
  stopping = new AbortController();
  running = Promise.resolve();
});
afterEach(async () => {
  stopping.abort();
  await running;
  store.close();
  folder.remove();
});

/** One reading in ten seconds over so many days from `t0` on, as a sensor with some noise gives them. */
function fill(series: string, days: number, fromMs = t0): void {
  const all = Array.from({ length: days * 8640 }, (_, i) =>
    reading(fromMs + 10_000 * i, Math.round(900 + 400 * Math.sin(i * i)) / 1000, series),
  );
  const source = series === oven ? "GW-AO" : "GW-PR";
  for (let from = 0; from < all.length; from += 4000) {
    store.commit([incoming(all.slice(from, from + 4000), { source })]);
  }
}

function seal(cutUntilMs = t0 + 100 * dayMs): void {
  store.settle("PR-01", cutUntilMs);
  store.settle("AO-1", cutUntilMs);
  while (store.sealSome());
}

function keep(rules: Partial<KeepRules>): void {
  const classOf: KeepRules["classOf"] = (series) => (series === rms ? "waveforms" : "readings");
  const parts = { store, clock, rules: { retention: forever, budgetBytes: null, classOf, ...rules } };
  const failed = (fault: Error): never => {
    throw fault;
  };
  running = keepWithin({ ...parts, told: (kept) => told.push(kept), failed }, stopping.signal);
}

/** Lets the clock go on until a look has told what it did. */
async function looked(count = 1): Promise<void> {
  const over = (): boolean => {
    clock.advance(25);
    return told.length >= count;
  };
  await eventually("a look is over", over, 60_000, 1);
}

const all = (series: string) =>
  store.read({ series, fromMs: 0, toMs: Number.MAX_SAFE_INTEGER }, { includeLate: true }).map(({ tMs }) => tMs);
const hours = (series: string) => {
  const range = { series, fromMs: t0, toMs: t0 + 20 * dayMs };
  return store.trend(range, 480).map(({ fromMs, n, min, max, mean }) => [fromMs, n, min, max, mean]);
};

test("readings older than their class is kept go, sealed and open ones; their hours and all others stay", async () => {
  fill(pressure, 10);
  fill(oven, 10);
  fill(rms, 10);
  store.settle("PR-01", t0 + 100 * dayMs);
  while (store.sealSome());
  const before = [pressure, oven, rms].map(hours);
  keep({ retention: { ...forever, readings: 3 * dayMs, waveforms: 8 * dayMs } });
  await looked();
  // The newest reading of all, not the clock, says what is old; a block goes when all of it is.
  const newest = t0 + 10 * dayMs - 10_000;
  expect(all(pressure)[0]).toBeGreaterThan(newest - 4 * dayMs);
  expect(all(pressure)[0]).toBeLessThanOrEqual(newest - 3 * dayMs);
  expect(all(rms)[0]).toBeLessThanOrEqual(newest - 8 * dayMs);
  expect(all(rms)[0]).toBeGreaterThan(t0);
  expect([pressure, oven, rms].map(hours)).toEqual(before);
  expect(told[0]).toMatchObject({ forBudget: 0, stuck: false });
  const { readings = 0, waveforms = 0 } = told[0]!.counts;
  expect(readings + waveforms).toBe(store.letGoCount());
  // The oven's station is cut nowhere yet: nothing of it goes, however old it is.
  expect(all(oven)).toHaveLength(86_400);
  expect(readings).toBe(86_400 - all(pressure).length);
  expect(waveforms).toBe(86_400 - all(rms).length);
});

test("what was let go and is sent again goes again, and is counted in its hour once, also after a restart", async () => {
  fill(pressure, 10);
  seal();
  const before = hours(pressure);
  keep({ retention: { ...forever, readings: 2 * dayMs } });
  await looked();
  const first = all(pressure)[0]!;
  const again = Array.from({ length: 12_000 }, (_, i) => reading(t0 + 10_000 * i, 5));
  store.commit([incoming(again)]);
  expect(hours(pressure)).toEqual(before);
  seal();
  expect(hours(pressure)).toEqual(before);
  clock.advance(11 * 60_000);
  await looked(2);
  expect(all(pressure)[0]).toBeGreaterThan(first - dayMs);
  expect(hours(pressure)).toEqual(before);
  store.close();
  store = openSampleStore(folder.path, places);
  store.commit([incoming(again.slice(0, 5))]);
  seal();
  expect(hours(pressure)).toEqual(before);
});

test("a clock that leaps ten years ahead lets nothing go", async () => {
  fill(pressure, 3);
  seal();
  clock.advance(3650 * dayMs);
  keep({ retention: { ...forever, readings: 5 * dayMs } });
  for (let i = 0; i < 20; i++) {
    clock.advance(60_000);
    await new Promise((resolve) => setImmediate(resolve));
  }
  expect(told).toEqual([]);
  expect(all(pressure)).toHaveLength(3 * 8640);
});

test("raw blocks of waveforms go by their own time", async () => {
  const snapshots = Array.from({ length: 200 }, (_, i) => {
    return { series: "PR-01/shake", tMs: t0 + i * hourMs, rateHz: 2000, scale: 0.001, samples: new Uint8Array(64) };
  });
  store.commit([incoming([reading(t0 + 200 * hourMs, 1)], { snapshots })]);
  store.settle("PR-01", t0 + 300 * hourMs);
  keep({ retention: { ...forever, snapshots: 100 * hourMs } });
  await looked();
  const left = store.snapshots({ series: "PR-01/shake", fromMs: 0, toMs: t0 + 999 * hourMs });
  expect(left.map(({ tMs }) => (tMs - t0) / hourMs)).toEqual(Array.from({ length: 100 }, (_, i) => 100 + i));
  expect(told[0]?.counts).toEqual({ snapshots: 100 });
});

test("over the budget the oldest blocks of the largest class go until it fits, and no more", async () => {
  fill(pressure, 10);
  fill(oven, 2);
  fill(rms, 4);
  seal();
  const before = [pressure, oven, rms].map(hours);
  const used = store.usedBytes();
  const budgetBytes = used - 60_000;
  keep({ budgetBytes });
  await looked();
  expect(store.usedBytes()).toBeLessThanOrEqual(budgetBytes);
  expect(store.usedBytes()).toBeGreaterThan(budgetBytes - 20_000);
  expect(told[0]).toMatchObject({ stuck: false, forBudget: store.letGoCount() });
  expect(all(rms)).toHaveLength(4 * 8640);
  // Two series of one class begin at the same time: both give their oldest.
  expect(all(pressure)[0]).toBeGreaterThan(t0);
  expect(all(oven)[0]).toBeGreaterThan(t0);
  expect(all(pressure).at(-1)).toBe(t0 + 10 * dayMs - 10_000);
  expect([pressure, oven, rms].map(hours)).toEqual(before);
});

test("a budget that cannot be kept is said, and what is not cut into runs stays", async () => {
  fill(pressure, 3);
  seal(t0 + dayMs);
  store.settle("PR-01", t0 + dayMs);
  keep({ budgetBytes: 1 });
  await looked();
  expect(told[0]).toMatchObject({ stuck: true });
  const left = all(pressure);
  expect(left.filter((tMs) => tMs >= t0 + dayMs)).toHaveLength(2 * 8640);
  expect(store.sealed().every(({ toMs }) => toMs >= t0 + dayMs)).toBe(true);
});

test("the bytes of each series' blocks are kept right through sealing, merging and letting go", async () => {
  fill(pressure, 6);
  seal();
  store.commit([incoming(Array.from({ length: 3000 }, (_, i) => reading(t0 + 15_000 + 20_000 * i, 1)))]);
  fill(pressure, 2, t0 + 6 * dayMs);
  seal();
  keep({ retention: { ...forever, readings: 4 * dayMs } });
  await looked();
  const db = new Database(join(folder.path, "readings.sqlite"), { readonly: true });
  const weighed = db.prepare("SELECT SUM(length(bytes)) AS bytes FROM block").get() as { bytes: number };
  db.close();
  expect(store.sealed().map(({ bytes }) => bytes)).toEqual([weighed.bytes]);
});
