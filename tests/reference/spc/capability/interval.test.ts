import { expect, test } from "vitest";
import { nearestInterval, spreadInterval } from "../../../../spc/capability/interval.ts";
import { referenceData } from "../data.ts";

interface Row {
  readonly id: string;
  readonly recomputed: { readonly lower95_at_1_33?: number; readonly ci?: readonly [number, number] };
}
const rows = referenceData<readonly Row[]>("capability");

test("Montgomery, example 8.4 (from memory): Cp 2.29 from 20 values lies between 1.57 and 3.01", () => {
  const found = spreadInterval((62 - 38) / (6 * 1.75), 19);
  expect(found.estimate).toBeCloseTo(2.29, 2);
  expect(found.lower.toFixed(2)).toBe("1.56");
  // The example starts from the rounded 2.29; unrounded the lower end is 1.565.
  expect(spreadInterval(2.29, 19).lower).toBeCloseTo(1.57, 2);
  expect(spreadInterval(2.29, 19).upper).toBeCloseTo(3.01, 2);
  const [lower, upper] = rows.find(({ id }) => id === "montgomery-8.4-Cp-ci")!.recomputed.ci!;
  expect(found.lower).toBeCloseTo(lower, 9);
  expect(found.upper).toBeCloseTo(upper, 9);
});

test("Bissell 1990, Applied Statistics 39:331-340: lower 95 % bounds of an observed Cpk of 1.33", () => {
  const bounds = rows.filter(({ id }) => id.startsWith("Cpk-lower-bound"));
  expect(bounds.length).toBeGreaterThanOrEqual(8);
  for (const { id, recomputed } of bounds) {
    const n = Number(id.split("-n")[1]);
    // A one-sided 95 % bound is the lower end of a two-sided 90 % interval.
    expect(nearestInterval(1.33, n, n - 1, 0.9).lower, id).toBeCloseTo(recomputed.lower95_at_1_33!, 9);
  }
});

test("an interval without degrees of freedom, or with a confidence out of range, is a defect", () => {
  expect(() => nearestInterval(1, 0, 1)).toThrow(RangeError);
  expect(() => nearestInterval(1, 30, 0)).toThrow(RangeError);
  expect(() => spreadInterval(1, 0)).toThrow(RangeError);
  expect(() => spreadInterval(1, 30, 1)).toThrow(RangeError);
});
