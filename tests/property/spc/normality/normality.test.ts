import fc from "fast-check";
import { expect, test } from "vitest";
import { andersonDarling } from "../../../../spc/normality/anderson-darling.ts";
import { shapiroWilk } from "../../../../spc/normality/shapiro-wilk.ts";
import { normals } from "../seeded.ts";
import { finiteThroughout, hostile, plain } from "../stats/hostile-series.ts";

test.each([andersonDarling, shapiroWilk])("unit, origin and order mean nothing to a test of normality", (of) => {
  fc.assert(
    fc.property(plain, fc.integer({ min: -50, max: 50 }), fc.constantFrom(0.5, 2, 8), (values, a, b) => {
      const whole = values.map(Math.round);
      const one = of(whole);
      for (const same of [whole.toReversed(), whole.map((value) => a + b * value)]) {
        const other = of(same);
        expect(other.ok).toBe(one.ok);
        if (!one.ok || !other.ok) continue;
        const after = Object.values(other.value) as number[];
        for (const [i, number] of (Object.values(one.value) as number[]).entries())
          expect(after[i]).toBeCloseTo(number, 8);
      }
    }),
  );
});

test.each([andersonDarling, shapiroWilk])("p lies above 0 and at most at 1", (of) => {
  fc.assert(
    fc.property(plain, (values) => {
      const found = of(values);
      if (!found.ok) return;
      expect(found.value.p).toBeGreaterThan(0);
      expect(found.value.p).toBeLessThanOrEqual(1);
    }),
  );
});

test.each([
  [10, andersonDarling],
  [50, andersonDarling],
  [10, shapiroWilk],
  [50, shapiroWilk],
])("of series of %d normal values one in twenty has p below 5 %", (n, of) => {
  const next = normals(n);
  const trials = 4000;
  let low = 0;
  for (let trial = 0; trial < trials; trial += 1) {
    const found = of(Array.from({ length: n }, () => next()));
    if (found.ok && found.value.p < 0.05) low += 1;
  }
  expect(Math.abs(low / trials - 0.05)).toBeLessThan(4 * Math.sqrt((0.05 * 0.95) / trials));
});

test.each(hostile)("no test of normality of %s is NaN or infinite", (_, values) => {
  for (const of of [andersonDarling, shapiroWilk]) expect(finiteThroughout(of(values))).toBe(true);
});
