import { expect, test } from "vitest";
import { movingRangeMonitor } from "../../../../spc/charts/moving-range.ts";
import { advance } from "../../../../spc/model/stage.ts";

const limits = { centre: 1, lower: 0, upper: 3.27, sigma: 0.76 };
const ranges = (points: readonly (readonly [number, number | null])[]) =>
  advance(
    movingRangeMonitor(limits, { everyMs: 1000 }),
    points.map(([at, value], subgroup) => ({ subgroup, atMs: at * 1000, value })),
  ).out.map(({ value, verdict }) => [value, verdict]);

test("the first point has no range, the others lie so far from the one before", () => {
  expect(
    ranges([
      [0, 5],
      [1, 7],
      [2, 6.5],
      [3, 12],
    ]),
  ).toEqual([
    [null, "not-evaluable"],
    [2, "within"],
    [0.5, "within"],
    [5.5, "above"],
  ]);
});

test("a missing point takes its own range and the next one's: none is bridged", () => {
  expect(
    ranges([
      [0, 5],
      [1, null],
      [2, 7],
      [3, 8],
    ]).map(([value]) => value),
  ).toEqual([null, null, null, 1]);
});

test("after a silence of more than three expected intervals the range starts anew", () => {
  expect(
    ranges([
      [0, 5],
      [3, 7],
      [6.001, 9],
      [7, 8],
    ]).map(([value]) => value),
  ).toEqual([null, 2, null, 1]);
});
