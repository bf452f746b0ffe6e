import { expect, test } from "vitest";
import { writtenSpacing } from "../../../../spc/charts/written-spacing.ts";

const MIN = 60_000;
const every = (minutes: number, n: number): number[] => Array.from({ length: n }, (_, i) => i * minutes * MIN);

test("a sheet with one shot an hour has neighbours an hour apart, though shots come every six minutes", () => {
  expect(writtenSpacing(every(60, 50), 6 * MIN)).toBe(60 * MIN);
});

test("a sheet denser than expected keeps the expected spacing", () => {
  expect(writtenSpacing(every(1, 50), 6 * MIN)).toBe(6 * MIN);
});

test("one long shutdown does not make the usual pause longer", () => {
  const times = [...every(60, 50), ...every(60, 50).map((atMs) => atMs + 1_000 * 60 * MIN)];
  expect(writtenSpacing(times, 6 * MIN)).toBe(60 * MIN);
});

test("one run alone says nothing of spacing", () => {
  expect(writtenSpacing([5], 6 * MIN)).toBe(6 * MIN);
});
