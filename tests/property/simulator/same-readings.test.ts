import fc from "fast-check";
import { expect, test } from "vitest";
import type { Fault } from "../../../simulator/faults.ts";
import type { Message } from "../../../simulator/messages.ts";
import { type Plant, plant } from "../../../simulator/plant.ts";
import { type Source, sources } from "../../../simulator/plant-layout.ts";

const firstMs = Date.UTC(2026, 10, 24, 5, 0, 0);
const hour = 3_600_000;

interface Reading {
  series?: string;
  t: number;
  value?: number;
  values?: number[];
  everyMs?: number;
  axes?: Record<string, string>;
}

/** Every single reading, `series@t` to its value: however the messages were cut. */
function readingsOf(messages: readonly Message[]): Map<string, unknown> {
  const found = new Map<string, unknown>();
  const put = (series: string, t: number, value: unknown): void => {
    if (found.has(`${series}@${t}`)) throw new Error(`${series} came twice at ${t}`);
    found.set(`${series}@${t}`, value);
  };
  for (const { kind, body } of messages) {
    const whole = body as unknown as Reading & { readings: Reading[] };
    for (const r of kind === "readings" ? whole.readings : [whole]) {
      if (r.axes !== undefined) for (const [series, coded] of Object.entries(r.axes)) put(series, r.t, coded);
      else if (r.values === undefined) put(r.series as string, r.t, r.value);
      else for (const [i, v] of r.values.entries()) put(r.series as string, r.t + i * (r.everyMs as number), v);
    }
  }
  return found;
}

const madeWith = (seed: number, faults: Fault[] = []): Plant => plant({ seed, firstMs }, faults);

const faults: Fault[] = [
  { name: "stuck-pressure", station: "PR-01", fromMs: firstMs + 200_000, toMs: firstMs + 900_000 },
  { name: "boiler-sag", station: "BO-1", fromMs: firstMs + 300_000, toMs: firstMs + 1_200_000 },
  { name: "silent", station: "GW-CT", fromMs: firstMs + 111_500, toMs: firstMs + 123_250 },
  { name: "door-open", station: "AO-1", fromMs: firstMs + 100_000, toMs: firstMs + 500_000 },
];

test.each(sources)("%s sends the same readings however the time is cut", (source) => {
  const fromMs = firstMs + 17_000;
  const toMs = fromMs + 1_500_000;
  const whole = readingsOf(madeWith(3, faults).messages(source, fromMs, toMs));
  expect(whole.size).toBeGreaterThan(10);
  fc.assert(
    fc.property(fc.array(fc.integer({ min: 1, max: 1_499_999 }), { maxLength: 12 }), (offsets) => {
      const cuts = [0, ...[...new Set(offsets)].sort((a, b) => a - b), 1_500_000].map((o) => fromMs + o);
      const again = madeWith(3, faults);
      const pieces = cuts.slice(1).flatMap((cut, i) => again.messages(source, cuts[i] as number, cut));
      expect(readingsOf(pieces)).toEqual(whole);
    }),
    { numRuns: 6 },
  );
});

test.each(sources)("%s can start at any day without the days before it", (source) => {
  const fromMs = firstMs + 37 * hour;
  const walked = madeWith(5);
  for (let t = firstMs; t < fromMs; t += 12 * hour) walked.messages(source, t, t + 1000);
  const fresh = madeWith(5).messages(source, fromMs, fromMs + 900_000);
  expect(JSON.stringify(fresh)).toBe(JSON.stringify(walked.messages(source, fromMs, fromMs + 900_000)));
});

test.each(sources)("%s sends other readings from another seed", (source) => {
  const of = (seed: number) => JSON.stringify(madeWith(seed).messages(source, firstMs, firstMs + 900_000));
  expect(of(1)).toBe(of(1));
  expect(of(1)).not.toBe(of(2));
});

test.each(sources)("%s sends its messages in time order", (source) => {
  const one = madeWith(1);
  for (let t = firstMs; t < firstMs + hour / 2; t += 20_000) {
    const times = one.messages(source, t, t + 20_000).map((m) => m.fromMs);
    expect(times).toEqual([...times].sort((a, b) => a - b));
    if (times.length > 0) expect(times.at(-1) as number).toBeLessThan(t + 20_000);
  }
});

const hours: Record<Source, number> = {
  "GW-PR": 0.4,
  "GW-CT": 0.7,
  "GW-DR": 9,
  "GW-AO": 2,
  "GW-PO": 6,
  "GW-PX": 3,
  "GW-GL": 2,
  "GW-SL": 2,
  "GW-FU": 2,
  "GW-SK": 4,
  "GW-ST": 1,
};
const until = (source: Source): number => firstMs + hours[source] * hour;
function inEach(prefix: string, roles: readonly string[]): string[] {
  return [1, 2, 3, 4].flatMap((n) => roles.map((role) => `${prefix}${n}/${role}`));
}

const healthyBySource = new Map(
  sources.map((source) => {
    const messages = madeWith(11).messages(source, firstMs, until(source));
    return [source, { text: JSON.stringify(messages), readings: readingsOf(messages) }];
  }),
);

test.each([
  ["feeder-worn", "PX-1", ["PX-1/density"]],
  ["boiler-sag", "BO-1", ["HD-1/pressure", ...inEach("PR-0", ["chamber-t", "header", "pressure", "tool-t"])]],
  ["slow-valve", "PR-03", ["PR-03/chamber-t", "PR-03/pressure", "PR-03/tool-t"]],
  ["air-in-steam", "PR-02", ["PR-02/chamber-t", "PR-02/tool-t"]],
  ["stuck-pressure", "PR-02", ["PR-02/pressure"]],
  ["plugged-line", "PR-02", ["PR-02/pressure"]],
  ["zero-drift", "PR-01", ["PR-01/pressure"]],
  ["slow-thermocouple", "PR-01", ["PR-01/chamber-t"]],
  ["fill-gun-clogged", "PR-04", ["PR-04/weight-2"]],
  ["vacuum-pump-worn", "PR-04", ["PR-04/vacuum"]],
  ["weak-air", "DR-2", ["DR-2/airflow", "DR-2/fan-current", "DR-2/return-rh", "DR-2/witness"]],
  [
    "door-open",
    "DR-1",
    ["DR-1/door", "DR-1/return-rh", "DR-1/return-t", "DR-1/t1", "DR-1/t2", "DR-1/t3", "DR-1/witness"],
  ],
  ["probe-splash", "DR-1", ["DR-1/return-rh"]],
  ["witness-touches", "DR-1", ["DR-1/witness"]],
  ["door-open", "AO-1", ["AO-1/door", "AO-1/rh", "AO-1/t1", "AO-1/t2", "AO-1/t3"]],
  ["runaway", "AO-1", ["AO-1/rh", "AO-1/t1", "AO-1/t2", "AO-1/t3"]],
  ["thermocouple-drift", "AO-1", ["AO-1/t2"]],
  ["fan-stop", "AO-1", ["AO-1/fan-current", "AO-1/rh", "AO-1/t1", "AO-1/t3"]],
  ["glue-heater-failed", "GL-2", ["GL-2/plate-t", "GL-2/tank-t"]],
  [
    "motor-out",
    "CT-A1",
    ["CT-A1/motor-2", "CT-A1/vibration-x", "CT-A1/vibration-y", "CT-A1/vibration-z", "CT-A1/wall-z"],
  ],
  ["loose-clamp", "CT-F2", ["CT-F2/clamp", "CT-F2/vibration-z", "CT-F2/wall-z"]],
  ["loose-sensor", "CT-F2", ["CT-F2/vibration-z"]],
  ["phase-lost", "CT-A2", ["CT-A2/motor-1"]],
  ["cold-metal", "PO-A", ["PO-A/dip", "PO-A/dip-reading", "PO-A/stream", "SK-A/casting-t"]],
  ["cold-ladle", "PO-F", ["PO-F/stream", "SK-F/casting-t"]],
  ["pyrometer-soot", "PO-F", ["PO-F/stream"]],
  ["vacuum-leak", "PO-F", ["PO-F/vacuum"]],
  ["furnace-thermocouple-drift", "FU-F1", ["FU-F1/metal-t"]],
  ["offset", "PR-01/chamber-t", ["PR-01/chamber-t"]],
  ["spikes", "SC-1/sand-out-t", ["SC-1/sand-out-t"]],
  ["wire-open", "AO-1/t3", ["AO-1/t3"]],
])("the fault %s at %s changes its own series and nothing else", (name, station, series) => {
  const fromMs = firstMs + 5 * 60_000;
  const fault: Fault = { name, station, fromMs, toMs: Number.POSITIVE_INFINITY };
  const touched = new Set<string>();
  for (const source of sources) {
    const { text, readings: healthy } = healthyBySource.get(source)!;
    const messages = madeWith(11, [fault]).messages(source, firstMs, until(source));
    // Most sources are not touched at all, which is seen sooner in the whole text.
    if (JSON.stringify(messages) === text) continue;
    const faulty = readingsOf(messages);
    for (const key of new Set([...healthy.keys(), ...faulty.keys()])) {
      if (Object.is(healthy.get(key), faulty.get(key))) continue;
      const [at, t] = key.split("@") as [string, string];
      if (Number(t) < fromMs) throw new Error(`${key} changed before the fault came`);
      touched.add(at);
    }
  }
  expect([...touched].sort()).toEqual(series);
});

test("a silent gateway sends nothing and the others go on", () => {
  const fault: Fault = { name: "silent", station: "GW-PR", fromMs: firstMs, toMs: firstMs + hour };
  const quiet = madeWith(1, [fault]);
  expect(quiet.messages("GW-PR" as Source, firstMs, firstMs + hour)).toEqual([]);
  expect(quiet.messages("GW-PR", firstMs + hour, firstMs + hour + 60_000).length).toBeGreaterThan(0);
  expect(quiet.messages("GW-AO", firstMs, firstMs + 60_000).length).toBeGreaterThan(0);
});
