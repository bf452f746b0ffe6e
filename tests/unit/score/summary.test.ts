import { expect, test } from "vitest";
import type { FaultRow } from "../../score/compare/fault-rows.ts";
import { kindRows, summaryOf, typeRows } from "../../score/compare/summary.ts";

const row: FaultRow = {
  ...{ seed: 1, fault: "slow-valve", place: "PR-01", size: 1, times: 1, from: "", to: "", sensor: false },
  ...{ outcome: "found", dueHours: 1, foundHours: 0.5, called: "process", shift: 5, charts: [] },
  flags: { all: 1, shown: 1 },
};
const sensor: FaultRow = { ...row, fault: "zero-drift", sensor: true, called: "sensor" };

const rows: readonly FaultRow[] = [
  row,
  { ...row, outcome: "late" },
  { ...row, outcome: "missed", called: null, foundHours: null },
  { ...row, outcome: "censored" },
  { ...row, outcome: "unbuilt", called: null },
  { ...row, times: 0.5, outcome: "missed", called: null },
  { ...row, called: "sensor" },
  sensor,
  { ...sensor, called: "process" },
  { ...sensor, called: "undecided" },
];

test("shares are of what was large enough and due; what is smaller is printed alone", () => {
  expect(summaryOf(rows, [], new Map())).toMatchObject({
    ...{ injected: 7, found: 5, foundShare: 5 / 7, lateShare: 1 / 7, censored: 1, unbuilt: 1 },
    // Of the six that were seen at all.
    ...{ sensorAsProcess: 1, processAsSensor: 1, undecided: 1, confusion: 2 / 6 },
  });
});

test("a row for each type and size, and one for each type of what is large enough", () => {
  expect(typeRows(rows).map(({ fault, times, injected }) => [fault, times, injected])).toEqual([
    ["slow-valve", 0.5, 1],
    ["slow-valve", 1, 4],
    ["zero-drift", 1, 3],
  ]);
  expect(kindRows(rows)[0]).toMatchObject({
    ...{ fault: "slow-valve", injected: 4, found: 2, foundShare: 0.5, late: 1, missed: 1, censored: 1, unbuilt: 1 },
    ...{ calledProcess: 2, calledSensor: 1 },
  });
});

test("nothing due is no share, not a whole one", () => {
  expect(summaryOf([], [], new Map())).toMatchObject({
    injected: 0,
    foundShare: null,
    confusion: null,
    chanceRatio: null,
  });
});
