import { pino } from "pino";
import { afterEach, expect, test } from "vitest";
import type { Snapshot } from "../../../collector/decode/decoder.ts";
import { pipeline } from "../../../collector/pipeline/pipeline.ts";
import { memoryBus } from "../../../collector/platform/bus.ts";
import { Fault } from "../../../collector/platform/fault.ts";
import type { Journal } from "../../../collector/store/journal.ts";
import type { Sample } from "../../../spc/model/sample.ts";
import { siteOf } from "../../demo-site.ts";
import { eventually } from "../../eventually.ts";
import { collectorRig, type Rig } from "./collector-rig.ts";
import { cycleMs, message, pressText, shotMessages, site, startMs, tableText } from "./press-line.ts";

const rigs: Rig[] = [];

afterEach(() => {
  for (const rig of rigs.splice(0)) rig.close();
});

function rigOf(...args: Parameters<typeof collectorRig>): Rig {
  const rig = collectorRig(...args);
  rigs.push(rig);
  return rig;
}

const plateau = "PR-01:mold.plateau";

function shots(rig: Rig, from: number, plateaus: readonly (number | null)[], press: "PR-01" | "PR-02" = "PR-01"): void {
  for (const [at, value] of plateaus.entries()) {
    for (const samples of shotMessages({ press, place: from + at, plateau: value })) rig.commit(samples);
  }
  const endMs = startMs + (from + plateaus.length) * cycleMs;
  rig.clock.advance(Math.max(0, endMs - rig.clock.nowMs()));
}

test("shots become runs, features, points and a signal; after done the next signal opens another flag", async () => {
  const rig = rigOf();
  rig.limits(plateau, 0.9, 1);
  shots(rig, 0, [0.9, 0.91, 0.8, 0.79, 0.9]);
  await rig.wait(6);
  expect(rig.entries("run")).toHaveLength(5);
  const points = rig.entries("point");
  expect(points.map(({ body }) => body.location.verdict)).toEqual(["within", "within", "below", "below", "within"]);
  const flags = (): readonly string[] => [...new Set(rig.entries("signal").map(({ body }) => body.signal.flag))];
  expect(flags()).toEqual([`${plateau}:20261125T060200000Z`]);

  rig.done();
  shots(rig, 5, [0.78]);
  await rig.wait(6);
  expect(flags()).toEqual([`${plateau}:20261125T060200000Z`, `${plateau}:20261125T060500000Z`]);
  expect(rig.entries("applied").at(-1)?.body).toEqual({
    entry: `done/${plateau}:20261125T060200000Z`,
    characteristic: plateau,
    afterRun: "PR-01:20261125T060400000Z",
  });
});

test("a run without good readings is a point without a value, and its reason stands in the run and at the point", async () => {
  const rig = rigOf();
  shots(rig, 0, [null]);
  await rig.wait(6);
  expect(rig.entries("run")[0]?.body.features[0]).toMatchObject({ value: null, refusal: { code: expect.any(String) } });
  expect(rig.entries("point")[0]?.body).toMatchObject({ location: { verdict: "not-evaluable" } });
  expect(rig.entries("signal")).toEqual([]);
});

test("the last run closes without further news once its source has paused for as long as lateness", async () => {
  const rig = rigOf();
  shots(rig, 0, [0.9]);
  await rig.wait(4);
  expect(rig.entries("run")).toHaveLength(0);
  await rig.wait(2);
  expect(rig.entries("run")).toHaveLength(1);
});

test("what comes for a time that is cut already is kept, marked late, and changes nothing", async () => {
  const rig = rigOf();
  shots(rig, 0, [0.9]);
  await rig.wait(6);
  const before = rig.entries("run").map(({ body }) => body);
  const late: Sample = { series: "PR-01/pressure", tMs: startMs + 5_250, value: 3, quality: "good" };
  rig.commit([late]);
  shots(rig, 1, [0.9]);
  await rig.wait(6);
  expect(rig.entries("run").map(({ body }) => body)[0]).toEqual(before[0]);
  const range = { series: late.series, fromMs: late.tMs, toMs: late.tMs + 1 };
  expect(rig.data().samples.read(range)).toEqual([]);
  expect(rig.data().samples.read(range, { includeLate: true })).toMatchObject([{ late: true, value: 3 }]);
});

test("a restart amid a run goes on from the checkpoint and finds the run once", async () => {
  const rig = rigOf();
  const [first, ...rest] = shotMessages({ press: "PR-01", place: 0, plateau: 0.9 });
  rig.commit(first!);
  await rig.cut();
  rig.restart();
  for (const samples of rest) rig.commit(samples);
  await rig.wait(6);
  rig.restart();
  await rig.wait(25);
  expect(rig.entries("run")).toHaveLength(1);
  expect(rig.entries("point")).toHaveLength(1);
});

test("limits that do not fit the settings are told and do not stop the line", async () => {
  const rig = rigOf();
  rig.limits(plateau, 0.9, 1);
  const set = { ...rig.entries("limits")[0]!.body, id: `${plateau}@2`, unit: "kPa" };
  rig
    .data()
    .journal.append([
      { kind: "limits", body: set, id: `limits/${set.id}`, station: "PR-01", subject: plateau, atMs: startMs },
    ]);
  shots(rig, 0, [0.9]);
  await rig.wait(6);
  expect(rig.log.join("")).toContain("its unit is kPa, not bar");
  expect(rig.entries("point")[0]?.body.limitSet).toBe(`${plateau}@1`);
});

test("a pressure told in kPa and absolute gives the same plateau as one in bar gauge", async () => {
  const rig = rigOf(siteOf(pressText.replace("reference: gauge, unit: bar", "reference: absolute, unit: kPa")));
  for (const samples of shotMessages({ press: "PR-01", place: 0, plateau: 0.9 })) {
    rig.commit(
      samples.map((one) => (one.series.endsWith("/pressure") ? { ...one, value: 100 + 100 * (one.value ?? 0) } : one)),
    );
  }
  await rig.wait(6);
  const inBar = rigOf();
  shots(inBar, 0, [0.9]);
  await inBar.wait(6);
  const value = (one: Rig): number => one.entries("run")[0]?.body.features[0]?.value ?? Number.NaN;
  expect(value(rig)).toBeCloseTo(value(inBar), 12);
});

test("a backlog goes through in groups between which the event loop gets its turn", async () => {
  const rig = rigOf();
  const hours = 10;
  for (let place = 0; place < hours * 60; place += 1) {
    rig.commit(shotMessages({ press: "PR-01", place, plateau: 0.9 }).flat());
  }
  let turns = 0;
  let draining = true;
  const count = (): void => {
    turns += 1;
    if (draining) setImmediate(count);
  };
  setImmediate(count);
  await rig.cut();
  draining = false;
  expect(rig.entries("run").length).toBeGreaterThanOrEqual(hours * 60 - 1);
  const samples = hours * 60 * 52;
  expect(turns).toBeGreaterThan(samples / 20_000);
});

test("a store that fails is told of and tried again, and nothing is lost or found twice", async () => {
  const rig = rigOf();
  shots(rig, 0, [0.9, 0.9]);
  let failures = 2;
  const { journal } = rig.data();
  const failing: Journal = {
    ...journal,
    transaction: (work) => {
      const result = journal.transaction(() => {
        const done = work();
        if (failures > 0) {
          failures -= 1;
          throw new Fault("store-unavailable", "the disk is full", { retryable: true });
        }
        return done;
      });
      return result;
    },
  };
  const log: string[] = [];
  const parts = { site, store: rig.data().samples, journal: failing, clock: rig.clock, bus: memoryBus() };
  const line = pipeline({ ...parts, log: pino({}, { write: (text) => void log.push(text) }) });
  const stopping = new AbortController();
  const ended = line.run(stopping.signal);
  await eventually("the runs are found", () => {
    rig.clock.advance(500);
    return rig.entries("run").length === 2;
  });
  stopping.abort();
  await ended;
  expect(failures).toBe(0);
  expect(log.join("")).toContain("store-unavailable");
  expect(rig.entries("point")).toHaveLength(2);
});

test("a defect ends the line instead of being tried again for ever", async () => {
  const rig = rigOf();
  shots(rig, 0, [0.9]);
  const broken: Journal = {
    ...rig.data().journal,
    transaction: () => {
      throw new TypeError("a defect");
    },
  };
  const parts = { site, store: rig.data().samples, journal: broken, clock: rig.clock, bus: memoryBus() };
  const line = pipeline({ ...parts, log: pino({ level: "silent" }) });
  await expect(line.run(new AbortController().signal)).rejects.toThrow("a defect");
});

test("of a run's raw waveform one snapshot an axis is kept, out of its last 15 s", async () => {
  const rig = rigOf(siteOf(tableText));
  const event = (atMs: number, value: number): Sample => ({
    series: "CT-1/stage",
    tMs: startMs + atMs,
    value,
    quality: "good",
  });
  const snapshot = (atMs: number): Snapshot => ({
    series: "CT-1/vibration-z",
    tMs: startMs + atMs,
    rateHz: 64,
    scale: 0.001,
    samples: new Uint8Array(128),
  });
  const rms = Array.from(
    { length: 80 },
    (_, at): Sample => ({
      series: "CT-1/vibration-z.rms",
      tMs: startMs + at * 1000,
      value: 0.97 + 0.001 * (at % 3),
      quality: "good",
    }),
  );
  const snapshots = Array.from({ length: 16 }, (_, at) => snapshot(at * 5_000));
  const samples = [event(10_000, 1), event(20_000, 2), event(40_000, 3), event(70_000, 0), ...rms];
  rig.data().samples.commit([{ ...message(samples, startMs), snapshots }]);
  await rig.wait(6);
  expect(rig.entries("run")[0]?.body.features[0]?.value).toBeCloseTo(0.971, 3);
  const kept = rig.data().samples.snapshots({ series: "CT-1/vibration-z", fromMs: 0, toMs: startMs + 70_000 });
  expect(kept.map(({ tMs }) => tMs - startMs)).toEqual([65_000]);
});
