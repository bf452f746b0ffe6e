import { expect, test } from "vitest";
import { readArguments } from "../../../simulator/arguments.ts";
import { launchPart } from "../../../simulator/launch.ts";
import { clusterOfFlask } from "../../../simulator/lineage.ts";
import type { PlantKey } from "../../../simulator/plant-layout.ts";
import { ladleOfFlask } from "../../../simulator/runs/iron-pour.ts";
import { plantModel } from "../../../simulator/runs/model.ts";
import type { TrueRun } from "../../../simulator/runs/true-run.ts";
import { runBooks } from "../../../simulator/runs/true-runs.ts";
import { startedBy } from "../../../simulator/schedule.ts";
import { faultLines } from "../../../simulator/truth.ts";

const hourMs = 3_600_000;
const dayMs = 24 * hourMs;
const firstMs = Date.UTC(2026, 10, 24, 5);
const launchMs = firstMs + 9 * dayMs;
const key: PlantKey = { seed: 31, firstMs, launchMs };
const model = plantModel(key, []);
const books = runBooks(model);

function runsOf(station: string, fromMs: number, toMs: number): TrueRun[] {
  const { schedule, of } = books.get(station)!;
  const runs: TrueRun[] = [];
  for (let n = startedBy(schedule, fromMs) - 2; n <= startedBy(schedule, toMs) + 1; n += 1) runs.push(...of(n));
  return runs.filter(({ startMs }) => startMs >= fromMs && startMs < toMs);
}

const launched = (station: string): TrueRun[] =>
  runsOf(station, launchMs - 6 * dayMs, launchMs + 4 * dayMs).filter(({ part }) => part === launchPart);

test("the launch is three ladles of eight flasks, after the hour it is told for, and nothing of the part before or after", () => {
  const poured = launched("PO-F");
  const ladles = poured.filter(({ id }) => id.includes(".ladle"));
  expect(ladles).toHaveLength(3);
  expect(poured).toHaveLength(3 + 24);
  const filled = [...launched("CT-F1"), ...launched("CT-F2")].sort((a, b) => a.startMs - b.startMs);
  expect(filled).toHaveLength(24);
  expect(filled[0]!.startMs - launchMs).toBeGreaterThan(-2 * 60_000);
  expect(filled.at(-1)!.startMs - launchMs).toBeLessThan(40 * hourMs);
  // Each flask of it that is poured was filled with it.
  const own = new Set(filled.map(({ id }) => id));
  for (const { id, from } of poured) if (!id.includes(".ladle")) expect(own.has(from[0]!.run), id).toBe(true);
});

test("it comes from shots of its own, through joints, dips, loads and shakeouts that say so", () => {
  const shots = new Map(runsOf("PR-03", launchMs - 8 * dayMs, launchMs).map((run) => [run.id, run.part]));
  const joints = launched("GL-3");
  expect(joints.length).toBe(24 * 4);
  for (const { from } of joints) for (const { run } of from) expect(shots.get(run)).toBe(launchPart);
  for (const station of ["CL-1", "RD-1", "AG-2", "CO-F", "SK-F", "IN-1", "PR-03"])
    expect([station, launched(station).length > 0]).toEqual([station, true]);
  expect(launched("RD-1")).toHaveLength(48);
});

test("the ladles were lined anew for it: they lose more, and warm up ladle by ladle", () => {
  const before = ladleOfFlask(launchFlask()).ladle;
  const [last, first] = [model.ironPours.ladle(before - 1), model.ironPours.ladle(before)];
  expect([first.part.id, first.liningDays]).toEqual([launchPart, 1]);
  expect(last.liningDays).toBeGreaterThan(1);
  const mean = (from: number, of: (number: number) => number): number =>
    Array.from({ length: 12 }, (_, i) => of(from + i)).reduce((sum, one) => sum + one, 0) / 12;
  const loss = (number: number): number => model.ironPours.ladle(number).lossPerMinute;
  expect(mean(before, loss)).toBeGreaterThan(mean(before - 12, loss) + 0.5);
});

function launchFlask(): number {
  for (let ordinal = 0; ; ordinal += 1) {
    const { ladle } = ladleOfFlask(ordinal);
    if (model.ironPours.ladle(ladle).part.id === launchPart) return ordinal;
  }
}

test("the truth tells of it, and that another thing began beside it; without a launch it says nothing", () => {
  const [line] = faultLines(key, [], model);
  expect(JSON.parse(line!)).toEqual({
    kind: "launch",
    part: launchPart,
    first_cluster: `CU-${700_000 + clusterOfFlask({ aluminium: false, ordinal: launchFlask() })}`,
    beside: "ladles lined anew",
  });
  expect([...faultLines({ seed: 31, firstMs }, [], plantModel({ seed: 31, firstMs }, []))]).toEqual([]);
});

test("the script launches it on its 22nd day; a launch is told as a length of time", () => {
  const launchOf = (...words: string[]): unknown => {
    const read = readArguments(["--from", "2026-11-24T05:00:00Z", "--hours", "1", ...words], firstMs + dayMs);
    return read.kind === "run" ? read.options.key.launchMs : read;
  };
  expect(launchOf()).toBeUndefined();
  expect(launchOf("--script", "30-day")).toBe(firstMs + 21 * dayMs);
  expect(launchOf("--launch", "36h")).toBe(firstMs + 36 * hourMs);
  expect(launchOf("--launch", "soon")).toMatchObject({
    kind: "wrong",
    mistakes: [expect.stringContaining("--launch")],
  });
});
