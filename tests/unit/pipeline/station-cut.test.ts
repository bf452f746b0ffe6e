import fc from "fast-check";
import { expect, test } from "vitest";
import { stationCut } from "../../../collector/pipeline/station-cut.ts";
import { loadSettings } from "../../../collector/platform/settings/load.ts";
import type { Station } from "../../../collector/platform/settings/site.ts";
import type { RoleSample, Run } from "../../../spc/model/run.ts";
import { at, epochMs, inShort } from "../spc/segment/samples.ts";

/** A pour station with ladles around its pours, and a tank whose hours hold dips. */
const text = `site: { name: Small works, zone: CET, ambientPressureHpa: 1000, ambientPressureOrigin: measured }
shifts:
  - { name: early, from: "06:00" }
  - { name: late, from: "14:00" }
lines: [{ id: one, name: Line one }]
stages: [Pour]
sources: [{ id: GW, topic: "small/#" }]
stations:
  - { id: PO-F, kind: pour-station, line: one, source: GW }
  - { id: SL-A, kind: tank, line: one, source: GW }
stationKinds:
  pour-station:
    stage: Pour
    runWord: pour
    series:
      pour: { kind: event, quantity: pour, unit: "1" }
      ladle: { kind: event, quantity: ladle, unit: "1" }
      setup: { kind: event, quantity: setup, unit: "1", holds: true }
    segmenter: { by: marker, role: pour, timeout: 2 min, gap: 2 min }
    moreRuns:
      - id: ladle
        runWord: ladle
        segmenter: { by: marker, role: ladle, timeout: 30 min }
        segmentsBy: position
  tank:
    stage: Pour
    runWord: dip
    series:
      dip: { kind: event, quantity: dip, unit: "1" }
    segmenter: { by: marker, role: dip, timeout: 10 min, gap: 10 min }
    moreRuns:
      - { id: hour, runWord: hour, segmenter: { by: clock, every: 1 h } }
`;

function station(id: string): Station {
  const loaded = loadSettings(Buffer.from(text));
  if (!loaded.ok) throw new Error(JSON.stringify(loaded.mistakes));
  return loaded.site.stations.find((one) => one.id === id)!;
}

function runsOf(id: string, samples: readonly RoleSample[]): readonly Run[] {
  const cut = stationCut(station(id));
  const runs: Run[] = [];
  cut.advance(cut.initial, samples, (run) => runs.push(run));
  return runs;
}

const pour = (fromS: number, position: string, ladle = "LF-1") => {
  const attributes = { part: "OFW-3304", flask: `FF-${position}`, position, ladle };
  return [at(fromS, "pour", 1, attributes), at(fromS + 20, "pour", 0, attributes)];
};
const ladle = (tS: number, value: number, name = "LF-1") => at(tS, "ladle", value, { ladle: name, heat: "HT-7" });

test("a ladle is a run around its pours, which become its segments by their position", () => {
  const runs = runsOf("PO-F", [ladle(0, 1), ...pour(30, "1"), ...pour(100, "2"), ...pour(170, "3"), ladle(200, 0)]);
  expect(runs.map(({ id }) => id.split(":")[0])).toEqual(["PO-F", "PO-F", "PO-F", "PO-F.ladle"]);
  const whole = runs.at(-1)!;
  expect(inShort(whole)).toBe("0-200 end-condition pour-1 30-50 pour-2 100-120 pour-3 170-190");
  expect(whole).toMatchObject({ kind: "ladle", station: "PO-F" });
  // What pours say is of the pours.
  expect(whole.context).toEqual({ shift: "early", ladle: "LF-1", heat: "HT-7" });
});

test("a pour that was lost costs its own segment and shifts no other; one of another ladle is none of this one", () => {
  const runs = runsOf("PO-F", [
    ...[...pour(0, "8", "LF-0"), ladle(60, 1), ...pour(70, "1"), ...pour(150, "3"), ladle(180, 0)],
    ...[ladle(200, 1, "LF-2"), ...pour(210, "1", "LF-2"), ladle(240, 0, "LF-2")],
  ]);
  const ladles = runs.filter(({ kind }) => kind === "ladle").map(inShort);
  expect(ladles).toEqual(["60-180 end-condition pour-1 70-90 pour-3 150-170", "200-240 end-condition pour-1 210-230"]);
});

test("what is set up holds for the runs that begin later, until it is set up anew, and a run's own words win", () => {
  const setUp = (tS: number, attributes: Record<string, string>) => at(tS, "setup", 1, attributes);
  const bare = (fromS: number, more: Record<string, string> = {}) => [
    at(fromS, "pour", 1, more),
    at(fromS + 10, "pour", 0),
  ];
  const runs = runsOf("PO-F", [
    ...[...bare(0), setUp(20, { part: "A", tool: "T-1" }), ...bare(30)],
    ...[at(50, "pour", 1), setUp(55, { tool: "T-2" }), at(60, "pour", 0), ...bare(70), ...bare(90, { part: "B" })],
  ]);
  expect(runs.map(({ context: { part = "-", tool = "-" } }) => `${part} ${tool}`)).toEqual([
    "- -",
    "A T-1",
    "A T-1",
    "A T-2",
    "B T-2",
  ]);
});

test("hours of the clock go on beside dips, and know nothing of one dip", () => {
  const dip = (fromS: number, cluster: string) => [
    at(fromS, "dip", 1, { cluster }),
    at(fromS + 90, "dip", 0, { cluster }),
  ];
  const runs = runsOf("SL-A", [...dip(600, "CU-1"), ...dip(3570, "CU-2"), ...dip(7300, "CU-3")]);
  const hours = runs.filter(({ kind }) => kind === "hour");
  expect(hours.map(inShort)).toEqual(["0-3600 end-condition", "3600-7200 end-condition"]);
  expect(hours.map(({ context }) => context)).toEqual([{ shift: "early" }, { shift: "early" }]);
  expect(hours[0]!.id).toBe("SL-A.hour:20261125T080000000Z");
});

const event = fc.record({
  stepS: fc.constantFrom(0, 1, 5, 20, 130, 2000),
  role: fc.constantFrom("pour", "pour", "ladle", "setup"),
  value: fc.constantFrom(0, 1, 1, null),
  attributes: fc.option(
    fc.record({ position: fc.constantFrom("1", "2", ""), part: fc.constantFrom("A", "B", "") }, { requiredKeys: [] }),
  ),
});

test("all kinds of run come out the same wherever the stream is cut and kept as JSON", () => {
  const cut = stationCut(station("PO-F"));
  let seen = 0;
  fc.assert(
    fc.property(fc.array(event, { maxLength: 50, size: "max" }), fc.nat(), (drawn, anywhere) => {
      let tS = 0;
      const samples = drawn.map(({ stepS, role, value, attributes }) => {
        tS += stepS;
        return at(tS, role, value, attributes ?? undefined);
      });
      const place = anywhere % (samples.length + 1);
      const whole: Run[] = [];
      const parts: Run[] = [];
      const end = cut.advance(cut.initial, samples, (run) => whole.push(run));
      const before = cut.advance(cut.initial, samples.slice(0, place), (run) => parts.push(run));
      const kept = JSON.parse(JSON.stringify(before)) as typeof before;
      const after = cut.advance(kept, samples.slice(place), (run) => parts.push(run));
      expect(parts).toEqual(whole);
      expect(after).toEqual(end);
      expect((end.open ?? []).length).toBeLessThanOrEqual(2);
      expect(new Set(whole.map(({ id }) => id)).size).toBe(whole.length);
      seen += whole.filter(({ kind }) => kind === "ladle").length;
    }),
    { numRuns: 300 },
  );
  expect(seen).toBeGreaterThan(20);
});

test("a checkpoint of another way of cutting is left behind, and what is charted goes on", () => {
  const cut = stationCut(station("PO-F"));
  const old = {
    segmenter: { lastMs: epochMs, sinceMs: 3 },
    openSinceMs: epochMs,
    lastEndMs: null,
    cutBy: "threshold/mass",
  };
  const runs: Run[] = [];
  cut.advance(old, [...pour(0, "1"), at(40, "pour", 0)], (run) => runs.push(run));
  expect(runs.map(inShort)).toEqual(["0-20 end-condition"]);
});

test("a checkpoint from before there were several kinds of run goes on where it stood", () => {
  const cut = stationCut(station("PO-F"));
  const state = cut.advance(cut.initial, pour(0, "1").slice(0, 1), () => undefined);
  const { segmenter, openSinceMs, lastEndMs } = state;
  const runs: Run[] = [];
  cut.advance({ segmenter, openSinceMs, lastEndMs }, pour(0, "1").slice(1), (run) => runs.push(run));
  expect(runs.map(inShort)).toEqual(["0-20 end-condition"]);
});
