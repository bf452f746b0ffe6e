import { expect, test } from "vitest";
import { importedPoints, importedValues } from "../../../../api/read-model/imported-points.ts";

const characteristic = { id: "PR-01:mold.plateau", chart: "individuals", everyMs: 60_000 } as const;

function valuesOf(entries: readonly (readonly [run: string, minute: number, value: number | null])[]) {
  const values = importedValues(characteristic);
  for (const [run, minute, value] of entries) {
    const feature = { feature: "mold.plateau", version: 1, unit: "bar", value };
    values.add({ run, atMs: minute * 60_000, feature, setting: "" });
  }
  return values;
}

test("imported points are numbered back from -1, whatever order they came in", () => {
  const values = valuesOf([
    ["c", 3, 0.93],
    ["a", 1, 0.91],
    ["b", 2, 0.92],
  ]);
  const points = importedPoints(characteristic, values, undefined, 0, 3);
  expect(points.map(({ run, subgroup }) => [run, subgroup])).toEqual([
    ["a", -3],
    ["b", -2],
    ["c", -1],
  ]);
});

test("a page of imported points equals that part of the whole", () => {
  const values = valuesOf(Array.from({ length: 30 }, (_, i) => [`r${i}`, i, i === 11 ? null : 0.9 + (i % 5) / 100]));
  const whole = importedPoints(characteristic, values, undefined, 0, 30);
  for (const [from, to] of [
    [0, 10],
    [10, 20],
    [12, 13],
    [25, 30],
  ] as const) {
    expect(importedPoints(characteristic, values, undefined, from, to)).toEqual(whole.slice(from, to));
  }
});

test("a value that is missing has no moving range after it, and a long pause bridges none", () => {
  const values = valuesOf([
    ...Array.from({ length: 40 }, (_, i) => [`r${i}`, i, i === 5 ? null : i / 10] as const),
    ["late", 400, 1],
  ]);
  const ranges = importedPoints(characteristic, values, undefined, 0, 41).map(({ spread }) => spread.value);
  expect(ranges.slice(4, 8)).toEqual([expect.closeTo(0.1), null, null, expect.closeTo(0.1)]);
  expect(ranges.at(-1)).toBeNull();
});

test("without limits a point is drawn and not judged", () => {
  const [point] = importedPoints(characteristic, valuesOf([["a", 1, 0.9]]), undefined, 0, 1);
  expect(point?.location).toEqual({
    subgroup: -1,
    value: 0.9,
    centre: null,
    lower: null,
    upper: null,
    verdict: "not-evaluable",
  });
});

test("the place after a run is found among runs of one instant as well", () => {
  const values = valuesOf([
    ["b", 1, 1],
    ["a", 1, 1],
    ["c", 2, 1],
  ]);
  expect(values.placeAfter(60_000, "a")).toBe(1);
  expect(values.placeAfter(60_000, "b")).toBe(2);
  expect(values.placeAfter(0, "z")).toBe(0);
  expect(values.placeAfter(120_000, "c")).toBe(3);
});
