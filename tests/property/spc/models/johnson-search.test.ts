import { expect, test } from "vitest";
import { searchJohnson } from "../../../../spc/models/johnson-search.ts";
import { shapiroWilk } from "../../../../spc/normality/shapiro-wilk.ts";
import { normals } from "../seeded.ts";

test("skewed values become as straight as a normal, and more than they were", () => {
  for (const seed of [1, 2, 3, 4, 5]) {
    const next = normals(seed);
    const values = Array.from({ length: 200 }, () => 5 + Math.exp(0.7 * next()));
    const found = searchJohnson(values);
    const before = shapiroWilk(values);
    if (!found.ok || !before.ok) throw new Error("refused");
    expect(found.value.w).toBeGreaterThan(0.985);
    expect(found.value.w).toBeGreaterThan(before.value.w);
    expect(found.value.z).toBeGreaterThanOrEqual(0.25);
    expect(found.value.z).toBeLessThanOrEqual(1.25);
    // The true median is 6.
    expect(Math.abs(found.value.model.quantile(0.5) - 6)).toBeLessThan(0.3);
  }
});

test("another unit and origin give the same curve", () => {
  const next = normals(9);
  const values = Array.from({ length: 150 }, () => Math.sinh(next()));
  const one = searchJohnson(values);
  const other = searchJohnson(values.map((x) => 100 + 25.4 * x));
  if (!one.ok || !other.ok) throw new Error("refused");
  expect(other.value.z).toBe(one.value.z);
  expect((other.value.model.quantile(0.99) - 100) / 25.4).toBeCloseTo(one.value.model.quantile(0.99), 6);
});

test("what cannot be fitted is refused", () => {
  const code = (values: readonly number[]) => {
    const found = searchJohnson(values);
    return found.ok ? null : found.refusal.code;
  };
  expect(code([1, 2, 3])).toBe("too-few");
  expect(code(Array(50).fill(2))).toBe("zero-variation");
  expect(code(Array.from({ length: 5001 }, (_, i) => i))).toBe("too-many");
  expect(code(Array.from({ length: 60 }, (_, i) => i % 2))).toBe("no-fit");
  expect(() => searchJohnson([...Array(30).keys(), Number.NaN])).toThrow(RangeError);
});
