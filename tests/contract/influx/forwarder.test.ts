import { afterAll, afterEach, beforeAll, beforeEach, expect, test } from "vitest";
import { runEntry } from "../../../collector/store/entries.ts";
import type { Sample } from "../../../spc/model/sample.ts";
import { eventually } from "../../eventually.ts";
import { type InfluxServer, influxdb } from "../influxdb.ts";
import { pressure, reading } from "../store/incoming.ts";
import { accessTo, dayMs, type ForwardRig, forwardRig } from "./forward-rig.ts";
import { countsHere, countsThere } from "./same-counts.ts";

const t0 = Date.UTC(2026, 4, 20);
const oven = "AO-1/t1";
const step = "PR-01/step";

let server: InfluxServer;
let rig: ForwardRig;
let database = 0;
beforeAll(async () => {
  server = await influxdb({ database: null });
}, 90_000);
afterAll(() => server.remove());
beforeEach(async () => {
  database += 1;
  await server.ask(`CREATE DATABASE "d${database}"`);
  rig = forwardRig(() => accessTo(server.url, { database: `d${database}` }));
});
afterEach(() => rig.remove());

const ask = (statement: string) => server.ask(statement, `d${database}`);

function readings(series: string, count: number, fromMs = t0, everyMs = 10_000): readonly Sample[] {
  return Array.from({ length: count }, (_, i) =>
    reading(fromMs + i * everyMs, Math.round(900 + 400 * Math.sin(i * i)) / 1000, series),
  );
}

/** By series and day there is as much there as here, no less and no more. */
async function same(): Promise<void> {
  expect(await countsThere(server, `d${database}`)).toEqual(countsHere(rig.store()));
}

test("open readings, sealed ones and late ones all go there, once each, with their marks and attributes", async () => {
  rig.add(readings(pressure, 7_000));
  rig.add(readings(oven, 1_000), "GW-AO");
  rig.store().settle("PR-01", t0 + dayMs);
  while (rig.store().sealSome());
  const special: Sample[] = [
    { series: step, tMs: t0 + 1, value: 5, quality: "good", attributes: { part: 'OFW "2107"', note: "ä, b=\\ c\nd" } },
    { series: step, tMs: t0 + 2, value: null, quality: "bad" },
    { series: step, tMs: t0 + 3, value: 0.1 + 0.2, quality: "uncertain" },
    { series: step, tMs: t0 + 4, value: Number.MAX_SAFE_INTEGER, quality: "good" },
    { series: step, tMs: t0 + 5, value: -1.5e-300, quality: "good" },
    { series: step, tMs: t0 + 6, value: 7, quality: "good" },
  ];
  rig.add(special);
  rig.begin();
  await rig.arrived();
  await same();
  const rows = await ask(`SELECT * FROM "reading" WHERE "series" = '${step}'`);
  const late = 4;
  expect(rows.map(({ mark, value, attributes }) => [mark, value, attributes])).toEqual([
    [late, 5, JSON.stringify(special[0]!.attributes)],
    [2 + late, null, null],
    [1 + late, 0.1 + 0.2, null],
    [late, Number.MAX_SAFE_INTEGER, null],
    [late, -1.5e-300, null],
    [late, 7, null],
  ]);
  expect(rows.every((row) => row["site"] === "ostrimvale")).toBe(true);

  // Behind the watermark: between what is there, before all of it, and while it is on its way.
  rig.add([reading(t0 + 5_000, 0.5), reading(t0 - 40 * dayMs, 0.25), ...readings(pressure, 2_000, t0 + 2 * dayMs)]);
  rig.add([reading(t0 + 2 * dayMs + 5_000, 0.75)]);
  await rig.arrived();
  await same();
  expect(rig.forwarder().status()).toMatchObject({ trouble: null, behindReadings: 0, refusedLines: 0, shortDays: 0 });
}, 60_000);

test("goes on where it was over restarts, and a store that never forwarded begins at its oldest reading", async () => {
  rig.add(readings(pressure, 12_000));
  rig.begin();
  await eventually("some are there", () => rig.store().forwarding.until(pressure) > t0, 30_000, 2);
  await rig.restart();
  rig.add(readings(pressure, 1_000, t0 + 30 * dayMs));
  await rig.arrived();
  await same();
  const before = rig.forwarder().status().forwarded;
  await rig.restart();
  await eventually("it is up to date", () => rig.forwarder().status().upToDateMs !== null, 30_000);
  expect(rig.forwarder().status().forwarded).toBe(0);
  expect(before).toBeGreaterThan(0);
}, 60_000);

test("run values go there by characteristic, refused ones with their code, and two runs of one millisecond stay two", async () => {
  const run = (id: string, endMs: number, value: number | null) =>
    runEntry({
      run: { id, station: "PR-01", startMs: endMs - 1, endMs, closedBy: "end-condition", segments: [], context: {} },
      imported: false,
      features: [
        { feature: "press.plateau", version: 2, unit: "bar", value, ...(value === null ? { refusal: refused } : {}) },
      ],
    });
  const refused = { code: "no-plateau", detail: "none" };
  rig.journal.append([run("PR-01:a", t0, 0.91), run("PR-01:b", t0, 0.92), run("PR-01:c", t0 + 9, null)]);
  rig.begin();
  const rows = await eventually("the runs are there", async () => {
    const found = await ask(`SELECT * FROM "run_value"`);
    return found.length >= 3 && found;
  });
  expect(
    rows
      .map(({ run: id, value, refusal, version, characteristic }) => [id, value, refusal, version, characteristic])
      .sort(),
  ).toEqual([
    ["PR-01:a", 0.91, null, 2, "PR-01:press.plateau"],
    ["PR-01:b", 0.92, null, 2, "PR-01:press.plateau"],
    ["PR-01:c", null, "no-plateau", 2, "PR-01:press.plateau"],
  ]);
  await ask('DROP MEASUREMENT "run_value"');
  const back = (): Promise<boolean> => ask('SELECT * FROM "run_value"').then((found) => found.length === 3);
  await rig.restart();
  await eventually("the runs are there again", back, 30_000);
}, 60_000);

test("a line at fault goes to quarantine with what was said, and all others arrive", async () => {
  // Somebody else writes the field as text on the day of one reading: its type is fixed there.
  const odd = t0 + 9 * dayMs;
  await ask(`SHOW MEASUREMENTS`);
  const body = `reading,series=${pressure},site=ostrimvale value="text" ${odd}`;
  await fetch(`${server.url}/write?db=d${database}&precision=ms`, { method: "POST", body });
  rig.add(readings(pressure, 4_000));
  rig.add([reading(odd + 1, 0.5), reading(odd + 2, null)]);
  rig.begin();
  await rig.arrived();
  const [refused, ...others] = rig.forwarder().refused(10);
  expect(others).toEqual([]);
  expect(refused).toMatchObject({ series: pressure, tMs: odd + 1, code: "influx-line-refused" });
  expect(refused!.words).toContain("field type conflict");
  expect(refused!.line).toBe(`reading,series=${pressure},site=ostrimvale mark=0i,value=0.5 ${odd + 1}`);
  expect(rig.forwarder().status().refusedLines).toBe(1);
  expect((await ask(`SELECT count("mark") FROM "reading" WHERE time >= 0 AND time < ${odd}ms`))[0]?.["count"]).toBe(
    4_000,
  );
}, 60_000);

test("where line after line is refused nothing is thrown away, and it says so", async () => {
  const body = `reading,series=${pressure},site=ostrimvale mark="text" ${t0}`;
  await fetch(`${server.url}/write?db=d${database}&precision=ms`, { method: "POST", body });
  rig.add(readings(pressure, 500));
  rig.begin();
  const { trouble } = await eventually("it says so", () => {
    const status = rig.forwarder().status();
    return status.trouble !== null && status;
  });
  expect(trouble).toMatchObject({ code: "influx-refuses-all" });
  expect(trouble!.words).toContain("field type conflict");
  expect(rig.store().forwarding.until(pressure)).toBe(Number.NEGATIVE_INFINITY);
  expect(rig.forwarder().status()).toMatchObject({ refusedLines: 0, behindReadings: 500 });
  await ask('DROP MEASUREMENT "reading"');
  await rig.arrived();
  await same();
}, 60_000);

test("readings go here only when they were seen there", async () => {
  rig.add(readings(pressure, 9_000));
  rig.store().settle("PR-01", t0 + 10 * dayMs);
  while (rig.store().sealSome());
  const letGo = (): number => {
    let count = 0;
    for (let more = true; more; ) {
      const gone = rig.store().letGo("readings", pressure, t0 + dayMs);
      count += gone.count;
      more = gone.more;
    }
    return count;
  };
  expect(letGo()).toBe(0);
  rig.begin();
  await rig.arrived();
  expect(letGo()).toBeGreaterThan(3_000);
  // One that comes again, with another value, for what was let go: the first one counts.
  rig.add([reading(t0, 99), reading(t0 + 1, 0.125)]);
  await rig.arrived();
  const rows = await ask(`SELECT "value" FROM "reading" WHERE "series" = '${pressure}' AND time < ${t0 + 10}ms`);
  expect(rows.map(({ value }) => value)).toEqual([0.9, 0.125]);
}, 60_000);
