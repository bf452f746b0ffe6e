import { expect, test } from "vitest";
import { medianFiltered, withoutSpikes } from "../../../../spc/features/median-filter.ts";

const at = (values: readonly number[], everyMs = 100) => values.map((value, i) => ({ tMs: i * everyMs, value }));
const valuesOf = (readings: readonly { readonly value: number }[]) => readings.map(({ value }) => value);

test("a running median drops a spike, keeps an edge in its place, and gives only whole windows", () => {
  const filtered = medianFiltered(at([1, 1, 9, 1, 1, 5, 5, 5]), 3, 100);
  expect(valuesOf(filtered)).toEqual([1, 1, 1, 1, 5, 5]);
  expect(filtered[0]!.tMs).toBe(100);
});

test("a wider median drops longer spikes", () => {
  expect(valuesOf(medianFiltered(at([1, 1, 9, 9, 1, 1, 1]), 5, 100))).toEqual([1, 1, 1]);
});

test("a window with a hole in it gives nothing", () => {
  const holed = at([1, 2, 3, 4, 5, 6]).filter((_, i) => i !== 2);
  expect(valuesOf(medianFiltered(holed, 3, 100))).toEqual([5]);
});

test("fewer readings than the width give nothing", () => {
  expect(medianFiltered(at([1, 2]), 3, 100)).toEqual([]);
});

test.each([0, 1, 2, 4, 3.5, Number.NaN])("a width of %d is a defect in the caller", (width) => {
  expect(() => medianFiltered(at([1, 2, 3]), width, 100)).toThrow(RangeError);
});

test("spikes go one by one, every reading keeps its place, and a monotone run is left as it is", () => {
  expect(valuesOf(withoutSpikes(at([0, 7, 1, 2, -8, 3, 4])))).toEqual([0, 1, 2, 1, 2, 3, 4]);
  expect(valuesOf(withoutSpikes(at([1, 2, 4, 8, 16])))).toEqual([1, 2, 4, 8, 16]);
  expect(valuesOf(withoutSpikes(at([5])))).toEqual([5]);
  expect(withoutSpikes([])).toEqual([]);
});
