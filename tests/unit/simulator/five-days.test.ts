import { describe, expect, it, test } from "vitest";
import { calendarOf, letDown } from "../../../simulator/calendar.ts";
import { occasionalFaults } from "../../../simulator/occasional-faults.ts";
import { plant } from "../../../simulator/plant.ts";
import { type PlantKey, sources } from "../../../simulator/plant-layout.ts";
import { recordedRuns } from "../../../simulator/recorded-runs.ts";
import { plantModel } from "../../../simulator/runs/model.ts";
import type { TrueRun } from "../../../simulator/runs/true-run.ts";
import { runBooks } from "../../../simulator/runs/true-runs.ts";
import { startedBy } from "../../../simulator/schedule.ts";
import { thirtyDayFaults } from "../../../simulator/script-30-day.ts";

const hourMs = 3_600_000;
const dayMs = 24 * hourMs;
/** A Wednesday. */
const key: PlantKey = { seed: 21, firstMs: Date.UTC(2026, 10, 25, 9, 20), week: 5 };
const saturdayMs = Date.UTC(2026, 10, 28, 5);
const mondayMs = Date.UTC(2026, 10, 30, 5);
const model = plantModel(key, []);
const books = runBooks(model);

function runsOf(station: string, fromMs: number, toMs: number): TrueRun[] {
  const book = books.get(station)!;
  const runs: TrueRun[] = [];
  for (let number = startedBy(book.schedule, fromMs) - 2; ; number += 1) {
    const some = book.of(number);
    runs.push(...some.filter(({ startMs }) => startMs >= fromMs && startMs < toMs));
    if (number > startedBy(book.schedule, toMs) + 2) return runs;
  }
}

describe("the calendar of five days", () => {
  const calendar = calendarOf(key);

  it("goes with the clock in the week of the first instant, and stands still over free days", () => {
    expect(calendar.worked(key.firstMs)).toBe(key.firstMs);
    expect([saturdayMs - 1, saturdayMs, mondayMs - 1, mondayMs].map(calendar.works)).toEqual([
      true,
      false,
      false,
      true,
    ]);
    expect(calendar.worked(mondayMs)).toBe(calendar.worked(saturdayMs));
    expect(calendar.later(saturdayMs - hourMs, 2 * hourMs)).toBe(mondayMs + hourMs);
    expect(calendar.later(mondayMs + hourMs, -2 * hourMs)).toBe(saturdayMs - hourMs);
  });

  it("works 120 hours in each week of a year, also where clocks change between two", () => {
    for (let week = 0; week < 52; week += 1) {
      const tMs = mondayMs + hourMs * 3 + week * 7 * dayMs;
      const free = calendar.free(tMs)!;
      const next = calendar.free(free.toMs + 6 * dayMs)!;
      expect(next.fromMs - free.toMs).toBe(120 * hourMs);
      expect([47, 48, 49]).toContain((free.toMs - free.fromMs) / hourMs);
      expect(calendar.clock(calendar.worked(tMs))).toBe(tMs);
    }
  });

  it("begins with the next Monday where the first instant is a Sunday", () => {
    const sunday = calendarOf({ firstMs: mondayMs - dayMs, week: 5 });
    expect(sunday.worked(mondayMs)).toBe(mondayMs);
    expect(sunday.worked(mondayMs - dayMs)).toBe(mondayMs);
    expect(sunday.clock(mondayMs - 1)).toBe(saturdayMs - 1);
  });

  it("lets down what is switched off, and has it up again in time", () => {
    const boiler = { fallMs: hourMs, riseMs: hourMs / 3, beforeMs: 2 * hourMs };
    const down = (tMs: number): number => letDown(calendar, tMs, boiler);
    expect(down(saturdayMs - 1)).toBeLessThan(1e-6);
    expect(down(saturdayMs + hourMs)).toBeCloseTo(1 - 1 / Math.E, 6);
    expect(down(mondayMs - dayMs)).toBeGreaterThan(0.999);
    expect(down(mondayMs)).toBeLessThan(0.005);
  });
});

test("nothing begins in free time but what was under way: a flask is dumped, and stands no longer than it must", () => {
  const late = new Set(["CO-A", "CO-F", "SK-A", "SK-F", "PO-F"]);
  for (const station of books.keys()) {
    const runs = runsOf(station, saturdayMs, mondayMs);
    if (late.has(station)) {
      for (const { startMs } of runs) expect(startMs - saturdayMs, station).toBeLessThan(3 * hourMs);
    } else expect(runs, station).toEqual([]);
  }
});

test("a week has five days' runs, and each is made of what was finished before", () => {
  const known = new Map<string, TrueRun>();
  for (const station of books.keys()) {
    for (const run of runsOf(station, saturdayMs - 30 * hourMs, mondayMs + 3 * hourMs)) known.set(run.id, run);
  }
  const ofWeek = (station: string): number => runsOf(station, mondayMs, mondayMs + 7 * dayMs).length;
  expect(ofWeek("PR-01")).toBeCloseTo((5 * dayMs) / 345_000, -1);
  expect(ofWeek("AO-1")).toBe(20);
  expect(ofWeek("HD-1")).toBe(120);
  let links = 0;
  for (const run of known.values()) {
    if (run.startMs < mondayMs) continue;
    for (const { run: from } of run.from) {
      const origin = known.get(from);
      if (origin === undefined || origin.endMs > mondayMs) continue;
      links += 1;
      expect(origin.startMs, `${run.id} of ${from}`).toBeLessThan(run.startMs);
    }
  }
  expect(links).toBeGreaterThan(100);
});

test("over free days bead and patterns grow older, and the first runs of Monday are colder", () => {
  const first = (station: string, feature: string): number => {
    const run = runsOf(station, mondayMs, mondayMs + 8 * hourMs).find(
      ({ features }) => features[feature] !== undefined,
    );
    return run!.features[feature]!.value;
  };
  const usual = (station: string, feature: string): number => {
    const before = runsOf(station, saturdayMs - 3 * dayMs, saturdayMs - dayMs);
    const values = before.flatMap(({ features }) => features[feature]?.value ?? []);
    return values.reduce((sum, value) => sum + value, 0) / values.length;
  };
  const shot = model.presses.get("PR-01")!;
  const number = startedBy(shot.schedule, mondayMs + hourMs);
  expect(shot.shot(number).bead.ageHours).toBeGreaterThan(48);
  expect(first("CT-A1", "sand.T_fill")).toBeLessThan(usual("CT-A1", "sand.T_fill") - 10);
  expect(first("PR-01", "mold.dTsat")).toBeLessThan(usual("PR-01", "mold.dTsat") - 0.2);
  expect(first("HD-1", "header.min")).toBeLessThan(usual("HD-1", "header.min") - 0.1);
  const ages = runsOf("AG-1", saturdayMs - 2 * dayMs, saturdayMs).map(({ features }) => features["room.age"]!.value);
  expect(Math.max(...ages)).toBeGreaterThan(3);
  expect(recordedRuns(key, "SI-01", saturdayMs - 2 * dayMs, mondayMs + 3 * dayMs).length).toBeGreaterThan(1);
});

test("instruments stay on and say what a plant says that stands", () => {
  const works = plant(key, []);
  const sundayMs = saturdayMs + 30 * hourMs;
  const said = new Map<string, number[]>();
  for (const source of sources) {
    for (const { kind, body } of works.messages(source, sundayMs, sundayMs + 10 * 60_000)) {
      expect(kind).toBe("readings");
      const { readings } = body as { readings: { series: string; values?: number[]; value?: number }[] };
      for (const { series, values, value } of readings) said.set(series, values ?? [value!]);
    }
  }
  const mean = (id: string): number => said.get(id)!.reduce((sum, one) => sum + one, 0) / said.get(id)!.length;
  expect(mean("HD-1/pressure")).toBeLessThan(0.05);
  expect(mean("AO-1/t1")).toBeLessThan(24);
  expect(mean("DR-2/t1")).toBeLessThan(24);
  expect(mean("GL-1/tank-t")).toBeLessThan(26);
  expect(mean("FU-F1/metal-t")).toBeLessThan(60);
  expect(mean("FU-A1/metal-t")).toBeGreaterThan(700);
  expect([...said.keys()].filter((id) => id.startsWith("CT-") || id.startsWith("PO-"))).toEqual([]);
});

test("faults by the script and occasional ones begin when somebody works", () => {
  const { works } = calendarOf(key);
  expect(thirtyDayFaults(key).filter(({ fromMs }) => !works(fromMs))).toEqual([]);
  const some = occasionalFaults(key, key.firstMs, key.firstMs + 28 * dayMs);
  expect(some.length).toBeGreaterThan(50);
  expect(some.filter(({ fromMs }) => !works(fromMs))).toEqual([]);
});
