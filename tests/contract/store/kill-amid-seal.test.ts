import { join } from "node:path";
import Database from "better-sqlite3";
import { afterEach, beforeEach, expect, test } from "vitest";
import { openSampleStore } from "../../../collector/store/embedded/embedded-sample-store.ts";
import { uniform } from "../../bench/plant-series.ts";
import { startNode } from "../../system/running-process.ts";
import { temporaryFolder } from "../../temporary-folder.ts";
import { places, pressure } from "./incoming.ts";
import { sealedValue, timesOf } from "./sealing-stream.ts";

let folder: ReturnType<typeof temporaryFolder>;
beforeEach(() => {
  folder = temporaryFolder();
});
afterEach(() => folder.remove());

const kills = 6;
const lines = (said: string): readonly string[] => said.split("\n").filter((line) => line !== "");

test("killed while it seals and merges, the store holds each reading that it kept once, as it was sent", async () => {
  const chance = uniform(11);
  let kept = -1;
  let amidSeal = 0;
  for (let kill = 0; kill < kills; kill += 1) {
    const worker = startNode(["dist/tests/contract/store/sealing-worker.js", folder.path, String(kept + 1)]);
    // Some commits on, so that there is something to merge into. Most of the worker's time is sealing.
    await worker.says(new RegExp(`kept ${kept + 2 + Math.floor(3 * chance())}\nseals\n`));
    await new Promise((resolve) => setTimeout(resolve, 40 * chance()));
    worker.signal("SIGKILL");
    await worker.exit();
    const said = lines(worker.said());
    if (said.at(-1) === "seals") amidSeal += 1;
    kept = Math.max(kept, ...said.map((line) => Number(/^kept (\d+)$/.exec(line)?.[1] ?? -1)));

    const store = openSampleStore(folder.path, places);
    const found = store.read({ series: pressure, fromMs: 0, toMs: Number.MAX_SAFE_INTEGER }, { includeLate: true });
    const trend = store.trend({ series: pressure, fromMs: 0, toMs: 1_000 * 3_600_000 }, 1_000);
    store.close();
    const times = found.map(({ tMs }) => tMs);
    expect(times, "in time order, none twice").toEqual([...new Set(times)].sort((a, b) => a - b));
    const there = new Set(times);
    // A commit that was on disk when the process died, but not yet told of, may be there as well.
    for (let n = 0; n <= kept; n += 1) expect(timesOf(n).filter((tMs) => !there.has(tMs))).toEqual([]);
    expect(found.filter(({ tMs, value }) => value !== sealedValue(tMs))).toEqual([]);
    expect(
      trend.reduce((sum, { n }) => sum + n, 0),
      "roll-up and open readings together",
    ).toBe(found.length);
  }
  expect(amidSeal, "kills that fell into a sealing").toBeGreaterThan(1);
  const db = new Database(join(folder.path, "readings.sqlite"), { readonly: true });
  const sealed = db.prepare<[], { n: number }>("SELECT SUM(n) AS n FROM block").get()!.n;
  expect(db.pragma("integrity_check", { simple: true })).toBe("ok");
  db.close();
  expect(sealed).toBeGreaterThan(20_000);
}, 120_000);
