import { expect, test } from "vitest";
import { andersonDarling } from "../../../../spc/normality/anderson-darling.ts";
import { logNormalCdf } from "../../../../spc/normality/log-normal-cdf.ts";
import { shapiroWilk } from "../../../../spc/normality/shapiro-wilk.ts";

const odd = (n: number): number[] => Array.from({ length: n }, (_, i) => Math.tan(i));

test("Anderson-Darling is refused under 8 values, Shapiro-Wilk under 3 and above 5000", () => {
  expect(andersonDarling(odd(7))).toMatchObject({ ok: false, refusal: { code: "too-few", needs: 8, has: 7 } });
  expect(andersonDarling(odd(8)).ok).toBe(true);
  expect(shapiroWilk(odd(2))).toMatchObject({ ok: false, refusal: { code: "too-few", needs: 3, has: 2 } });
  expect(shapiroWilk(odd(3)).ok).toBe(true);
  expect(shapiroWilk(odd(5000)).ok).toBe(true);
  expect(shapiroWilk(odd(5001))).toMatchObject({ ok: false, refusal: { code: "too-many", needs: 5000, has: 5001 } });
});

test.each([andersonDarling, shapiroWilk])("equal values are refused, values that are no numbers a defect", (of) => {
  expect(of(Array(20).fill(0.1))).toMatchObject({ ok: false, refusal: { code: "zero-variation" } });
  for (const bad of [Number.NaN, Number.POSITIVE_INFINITY]) expect(() => of([...odd(20), bad])).toThrow(RangeError);
});

test("p of a statistic beyond all doubt is the floor, never zero", () => {
  const found = andersonDarling([...Array(200).fill(0), ...Array(200).fill(1)]);
  if (!found.ok) throw new Error(found.refusal.detail);
  expect(found.value.adjusted).toBeGreaterThan(13);
  expect(found.value.p).toBe(3.7e-24);
});

test("one value among a thousand, ten thousand sigma out, leaves a finite statistic", () => {
  const found = andersonDarling([...odd(1000).map(Math.sin), 1e4]);
  expect(found.ok && Number.isFinite(found.value.a2) && found.value.p > 0).toBe(true);
});

test("the logarithm of the lower tail joins where its series begins", () => {
  expect(Math.abs(logNormalCdf(-20 - 1e-9) - logNormalCdf(-20 + 1e-9))).toBeLessThan(1e-7);
  expect(logNormalCdf(40)).toBeCloseTo(0, 15);
});
