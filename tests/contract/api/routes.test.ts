import { readFileSync } from "node:fs";
import { afterAll, beforeAll, expect, test } from "vitest";
import { endpoints } from "../../../api/contract/endpoints.ts";
import { floorOf } from "../../../dashboard/model/floor.ts";
import { weekdays } from "../../../spc/segment/working-time.ts";
import { incoming } from "../store/incoming.ts";
import { ask } from "./ask.ts";
import { flagId, importedEntry, limitsEntry, plateau, runAt, shotEntries, startMs } from "./press-entries.ts";
import { type RunningApi, runningApi } from "./running-api.ts";

let api: RunningApi;
const shots = 40;
/** Values that wander a little about the centre, and one far below it. */
const valueAt = (i: number): number => (i === 20 ? 0.85 : 0.9 + 0.008 * Math.sin(i * 2.7) + 0.0001 * (i % 7));

beforeAll(async () => {
  api = await runningApi({
    before: ({ journal, samples }) => {
      journal.append(Array.from({ length: 60 }, (_, i) => importedEntry(i - 60, valueAt(i + 100))));
      journal.append([limitsEntry()]);
      journal.append(Array.from({ length: shots }, (_, i) => shotEntries(i, valueAt(i))).flat());
      for (let i = 0; i < 3; i++) {
        const { run } = runAt(i, 0);
        const trace = Array.from({ length: 2_000 }, (_, k) => ({
          ...{ series: "PR-01/pressure", tMs: run.startMs + 50 * k, value: k === 700 ? 5 : k / 2_000 },
          quality: "good" as const,
        }));
        const step = { series: "PR-01/step", value: 1, quality: "good" as const, attributes: { part: "OFW-2107" } };
        samples.commit([incoming([...trace, { ...step, tMs: run.startMs }])]);
      }
      const rejections = [{ code: "unknown-unit", place: "/readings/0/unit", detail: "found furlong, expected bar" }];
      for (let i = 0; i < 5; i++) samples.commit([incoming([], { rejections, items: 1, receivedMs: startMs + i })]);
    },
  });
});
afterAll(async () => {
  expect(api.defects).toEqual([]);
  await api.stop();
});

test("the process says that it is alive and ready, and why when it is not ready", async () => {
  expect(await ask(`${api.url}/healthz`, endpoints.healthz.answer)).toEqual({ status: "alive", version: "0.0.0" });
  expect((await ask(`${api.url}/readyz`, endpoints.readyz.answer)).status).toBe("ready");
  api.lacking.push({ place: "source", found: "the broker refuses the password", expected: "a connection" });
  const response = await fetch(`${api.url}/readyz`);
  api.lacking.length = 0;
  expect(response.status).toBe(503);
  expect(await response.json()).toMatchObject({ code: "not-ready", detail: expect.stringContaining("password") });
});

test("a characteristic carries its limits in force, its latest point, and capability or why there is none", async () => {
  const list = await ask(`${api.url}/api/characteristics`, endpoints.characteristics.answer);
  expect(list.next).toBeNull();
  const quantities = new Set(list.items.map(({ quantity }) => quantity));
  expect(quantities.size).toBeGreaterThan(30);
  const one = await ask(`${api.url}/api/characteristics/${plateau}`, endpoints.characteristic.answer);
  expect(list.items.find(({ id }) => id === plateau)).toEqual(one);
  expect(one).toMatchObject({ station: "PR-01", quantity: "steam-pressure", reference: "gauge", unit: "bar" });
  expect(one.limits).toMatchObject({ revision: 1, location: { lower: 0.87, upper: 0.93 } });
  expect(one.latest).toMatchObject({ subgroup: shots - 1, location: { value: valueAt(shots - 1) } });
  expect(one.points).toEqual({ streamed: shots, imported: 60 });
  expect(one.flag).toBe(flagId(20));
  expect(one.capability.n).toBe(100);
  expect(one.capability.cpk).toMatchObject({ refusal: { code: "not-stable" } });
  expect(one.capability.ppk).toMatchObject({ estimate: expect.any(Number), confidence: 0.95 });
  const bare = list.items.find(({ id }) => id === "PR-02:mold.plateau");
  expect(bare).toMatchObject({ limits: null, latest: null, limitsMissing: { code: "too-few", needs: 25, has: 0 } });
});

test("parts named in the settings have their characteristics before their first run", async () => {
  const { items } = await ask(`${api.url}/api/characteristics`, endpoints.characteristics.answer);
  const parts = items
    .filter(({ station, feature }) => station === "PO-A" && feature === "pour.T1")
    .map(({ part }) => part);
  expect(parts).toEqual(["OFW-2107", "OFW-2115", "OFW-2130"]);
});

test.each(["oldest-first", "newest-first"])(
  "points page %s, each once, imported ones before streamed",
  async (order) => {
    const subgroups: number[] = [];
    let after = "";
    do {
      const url = `${api.url}/api/characteristics/${plateau}/points?limit=7&order=${order}${after}`;
      const { items, next } = await ask(url, endpoints.points.answer);
      expect(items.length).toBeLessThanOrEqual(7);
      subgroups.push(...items.map(({ subgroup }) => subgroup));
      for (const point of items) expect(point.imported).toBe(point.subgroup < 0);
      after = next === null ? "" : `&after=${next}`;
    } while (after !== "");
    const expected = Array.from({ length: 100 }, (_, i) => i - 60);
    expect(subgroups).toEqual(order === "oldest-first" ? expected : expected.reverse());
  },
);

test("an imported point is drawn against the limits in force and never signals", async () => {
  const url = `${api.url}/api/characteristics/${plateau}/points?order=oldest-first&limit=3`;
  const [first, second] = (await ask(url, endpoints.points.answer)).items;
  expect(first).toMatchObject({ imported: true, limitSet: `${plateau}@1`, signals: [], flag: null });
  expect(first?.location).toEqual({ value: valueAt(100), centre: 0.9, lower: 0.87, upper: 0.93, verdict: "within" });
  expect(first?.spread.value).toBeNull();
  expect(second?.spread.value).toBeCloseTo(Math.abs(valueAt(101) - valueAt(100)), 12);
});

test("a flag names its run, characteristic, label and what to do first", async () => {
  const { items } = await ask(`${api.url}/api/flags`, endpoints.flags.answer);
  expect(items).toHaveLength(1);
  expect(items[0]).toMatchObject({
    id: flagId(20),
    number: 1,
    characteristic: plateau,
    label: "look",
    state: "waiting",
  });
  expect(items[0]).toMatchObject({ run: runAt(20, 0).run.id, signals: 1, rules: ["beyond-limit"], late: false });
  expect(items[0]?.doFirst?.length).toBeLessThanOrEqual(80);
});

test("a flag's id works in the path as it is and percent-encoded", async () => {
  const raw = await ask(`${api.url}/api/flags/${flagId(20)}`, endpoints.flag.answer);
  const encoded = await ask(`${api.url}/api/flags/${encodeURIComponent(flagId(20))}`, endpoints.flag.answer);
  expect(encodeURIComponent(flagId(20))).toContain("%3A");
  expect(encoded).toEqual(raw);
});

test("runs page newest first, each once", async () => {
  const ids: string[] = [];
  let after = "";
  do {
    const { items, next } = await ask(`${api.url}/api/runs?station=PR-01&limit=9${after}`, endpoints.runs.answer);
    ids.push(...items.map(({ id }) => id));
    after = next === null ? "" : `&after=${next}`;
  } while (after !== "");
  const expected = Array.from({ length: 100 }, (_, i) => runAt(i - 60, 0).run.id);
  expect(ids).toEqual(expected.reverse());
});

test("runs are found by when they ended", async () => {
  const from = new Date(runAt(10, 0).run.endMs).toISOString();
  const to = runAt(12, 0).run.endMs;
  const { items } = await ask(`${api.url}/api/runs?from=${from}&to=${to}`, endpoints.runs.answer);
  expect(items.map(({ id }) => id)).toEqual([runAt(11, 0).run.id, runAt(10, 0).run.id]);
});

test("a run's page has its trace over those of the runs before, with every spike", async () => {
  const sheet = await ask(`${api.url}/api/runs/${runAt(2, 0).run.id}`, endpoints.run.answer);
  expect(sheet.run).toMatchObject({ station: "PR-01", runWord: "shot", imported: false });
  expect(sheet.previous).toBe(runAt(1, 0).run.id);
  expect(sheet.next).toBe(runAt(3, 0).run.id);
  const pressure = sheet.traces.find(({ role }) => role === "pressure");
  expect(pressure).toMatchObject({ unit: "bar", reference: "gauge", thinned: true, everyMs: 50 });
  expect(pressure?.tMs.length).toBe(pressure?.value.length);
  expect(pressure?.tMs.length).toBeLessThanOrEqual(1_600);
  expect(Math.max(...(pressure?.value ?? []).map(Number))).toBe(5);
  expect(pressure?.before.map(({ run }) => run)).toEqual([runAt(1, 0).run.id, runAt(0, 0).run.id]);
  for (const { value } of pressure?.before ?? []) expect(Math.max(...value.map(Number))).toBe(5);
  expect(sheet.traces.find(({ role }) => role === "step")).toMatchObject({ kind: "event", tMs: [0], value: [1] });
  expect(sheet.points.map(({ subgroup }) => subgroup)).toEqual([2]);
  expect(sheet.characteristics.map(({ id }) => id)).toContain(plateau);
});

test("a flagged run's page names the flag; an imported run has no trace, but its point", async () => {
  const flagged = await ask(`${api.url}/api/runs/${runAt(20, 0).run.id}`, endpoints.run.answer);
  expect(flagged.flags.map(({ id }) => id)).toEqual([flagId(20)]);
  expect(flagged.points[0]).toMatchObject({ flag: flagId(20), location: { verdict: "below" } });
  const imported = await ask(`${api.url}/api/runs/${runAt(-5, 0).run.id}`, endpoints.run.answer);
  expect(imported).toMatchObject({ traces: [], flags: [], run: { imported: true } });
  expect(imported.points).toMatchObject([{ subgroup: -5, imported: true }]);
});

test("readings page in time order, each once, late ones marked", async () => {
  const { run } = runAt(1, 0);
  const span = `from=${run.startMs}&to=${new Date(run.endMs).toISOString()}`;
  const times: number[] = [];
  let after = "";
  do {
    const url = `${api.url}/api/readings?series=PR-01/pressure&${span}&limit=300${after}`;
    const { items, next } = await ask(url, endpoints.readings.answer);
    times.push(...items.map(({ at }) => Date.parse(at)));
    after = next === null ? "" : `&after=${next}`;
  } while (after !== "");
  expect(times).toEqual(Array.from({ length: 2_000 }, (_, k) => run.startMs + 50 * k));
});

test("a trend shows a run in the columns asked for, each with its extremes", async () => {
  const { run } = runAt(1, 0);
  const span = `from=${run.startMs}&to=${run.endMs}`;
  const readings = await ask(`${api.url}/api/readings?series=PR-01/pressure&${span}`, endpoints.readings.answer);
  const url = `${api.url}/api/trend?series=PR-01/pressure&${span}&columns=10`;
  const { columns } = await ask(url, endpoints.trend.answer);
  expect(columns.length).toBeLessThanOrEqual(10);
  expect(columns.reduce((sum, one) => sum + one.readings, 0)).toBe(2_000);
  const first = readings.items.filter(({ at }) => at < columns[0]!.to).map(({ value }) => value!);
  expect(columns[0]).toMatchObject({ readings: first.length, min: Math.min(...first), max: Math.max(...first) });
});

test("an instant with an offset is understood, a plus sign sent as it is among them", async () => {
  const { run } = runAt(1, 0);
  const local = new Date(run.startMs + 3_600_000).toISOString().replace("Z", "+01:00");
  const url = `${api.url}/api/readings?series=PR-01/pressure&limit=1&from=${local}`;
  const { items } = await ask(url, endpoints.readings.answer);
  expect(items[0]?.at).toBe(new Date(run.startMs).toISOString());
});

test("what was refused at the door is shown with its place and its bytes", async () => {
  const first = await ask(`${api.url}/api/quarantine?limit=3`, endpoints.quarantine.answer);
  expect(first.items).toHaveLength(3);
  expect(first.items[0]).toMatchObject({ code: "unknown-unit", place: "/readings/0/unit", text: "{}" });
  expect(Buffer.from(first.items[0]?.bytes ?? "", "base64").toString()).toBe("{}");
  const rest = await ask(`${api.url}/api/quarantine?limit=3&after=${first.next}`, endpoints.quarantine.answer);
  expect(rest.items).toHaveLength(2);
  expect(rest.next).toBeNull();
  const ids = [...first.items, ...rest.items].map(({ id }) => id);
  const newest = `${api.url}/api/quarantine?limit=3&order=newest-first`;
  const last = await ask(newest, endpoints.quarantine.answer);
  const before = await ask(`${newest}&after=${last.next}`, endpoints.quarantine.answer);
  expect([...last.items, ...before.items].map(({ id }) => id)).toEqual(ids.toReversed());
  expect(before.next).toBeNull();
});

test("counts say what became of everything that arrived", async () => {
  const counts = await ask(`${api.url}/api/counts`, endpoints.counts.answer);
  const received = {
    received: 6_008,
    acknowledged: 6_008,
    stored: 6_003,
    duplicate: 0,
    quarantined: 5,
    late: 0,
    clockOffsets: { "GW-PR": -90 },
    broker: null,
    longTerm: null,
    pair: null,
  };
  expect(counts).toEqual({ ...received, sequenceGaps: {} });
  const message = (sequence: number) => incoming([], { source: "GW-PR", sequence });
  api.data.samples.commit([message(41), message(44)]);
  expect(await ask(`${api.url}/api/counts`, endpoints.counts.answer)).toEqual({
    ...received,
    sequenceGaps: { "GW-PR": 2 },
  });
});

test("the Floor has the strips, open flags and what chance alone would give", async () => {
  const floor = await ask(`${api.url}/api/floor`, endpoints.floor.answer);
  // All stages in the order of the settings, but the cluster bench, where nothing is charted.
  expect(floor.stages).toHaveLength(19);
  expect(floor.stages.slice(0, 5)).toEqual(["Bead", "Pre-expansion", "Silo", "Steam", "Moulding"]);
  expect(floor.stations).toHaveLength(46);
  const strip = floor.characteristics.find(({ characteristic }) => characteristic.id === plateau);
  expect(strip?.strip.subgroup).toEqual(Array.from({ length: 100 }, (_, i) => i - 60));
  const others = floor.characteristics.filter(({ characteristic: { main } }) => !main);
  expect(others.length).toBeGreaterThan(10);
  expect(others.every(({ strip: { run } }) => run.length === 0)).toBe(true);
  expect(floor.flags.map(({ id }) => id)).toEqual([flagId(20)]);
  expect(floor.causes).toContain("no cause found");
  expect(floor.shift?.name).toMatch(/early|late|night/);
  expect(floor.free).toBeNull();
  expect(floor.journalSeq).toBe(api.data.journal.lastSeq());
  expect(floor.sinceShift.chance).toBeGreaterThanOrEqual(0);
});

test("a strip draws of each point what the points themselves say", async () => {
  const { characteristics } = floorOf(await ask(`${api.url}/api/floor`, endpoints.floor.answer));
  const url = `${api.url}/api/characteristics/${plateau}/points?limit=120&order=newest-first`;
  const { items } = await ask(url, endpoints.points.answer);
  const drawn = items.toReversed().map(({ run, subgroup, at, imported, location, spread, signals, flag }) => ({
    ...{ run, subgroup, at, imported, signals, flag, location: { value: location.value } },
    spread: { value: spread.value === null ? null : 0 },
  }));
  const chart = characteristics.find(({ characteristic }) => characteristic.id === plateau);
  expect(chart?.points).toEqual(drawn);
  expect(drawn.some(({ flag }) => flag !== null)).toBe(true);
  expect(drawn.some(({ imported }) => imported)).toBe(true);
  const latest = { at: drawn.at(-1)?.at, location: drawn.at(-1)?.location };
  expect(chart?.characteristic.latest).toEqual(latest);
});

test("the metrics have their documented names", async () => {
  const response = await fetch(`${api.url}/metrics`);
  expect(response.headers.get("content-type")).toMatch(/^text\/plain; version=0\.0\.4/);
  const text = await response.text();
  for (const line of [
    "steadypour_readings_received_total 6008",
    "steadypour_readings_quarantined_total 5",
    "steadypour_runs_total 100",
    "steadypour_points_total 40",
    "steadypour_signals_total 1",
    'steadypour_flags_open{label="look",state="waiting"} 1',
    'steadypour_flags_open{label="act-now",state="waiting"} 0',
    "steadypour_source_connected 1",
    "steadypour_source_unacknowledged 3",
    "steadypour_source_reconnects_total 1",
    'steadypour_pipeline_lag_seconds{station="PR-01"} 1.5',
    "steadypour_live_clients 0",
  ]) {
    expect(text.split("\n")).toContain(line);
  }
  expect(text).toMatch(/steadypour_event_loop_delay_seconds\{quantile="0.99"\} \d/);
});

test("where no shift works the Floor says since when, and when the next one begins", async () => {
  const dayMs = 86_400_000;
  const only = weekdays[(new Date(Date.now() + 3 * dayMs).getUTCDay() + 6) % 7]!;
  const demo = readFileSync("simulator/ostrimvale.yaml", "utf8");
  const settings = demo.replace(/(\{ name: (?:early|late|night), from: "\d\d:\d\d") \}/g, `$1, days: [${only}] }`);
  const resting = await runningApi({ settings });
  const { shift, free, sinceShift } = await ask(`${resting.url}/api/floor`, endpoints.floor.answer);
  await resting.stop();
  expect(shift).toBeNull();
  const [since, until] = [Date.parse(free!.since), Date.parse(free!.until)];
  expect(since).toBeLessThan(Date.now());
  expect(until - Date.now()).toBeGreaterThan(1.5 * dayMs);
  // Six days of seven, an hour more or less where clocks change.
  expect(Math.abs(until - since - 6 * dayMs)).toBeLessThanOrEqual(3_600_000);
  expect(sinceShift).toMatchObject({ flags: 0, done: 0 });
});
