import fc from "fast-check";
import { expect, test } from "vitest";
import type { Outcome } from "../../../../spc/model/outcome.ts";
import { fitBoxCox } from "../../../../spc/models/box-cox.ts";
import { fitFoldedNormal } from "../../../../spc/models/folded-normal.ts";
import { fitGamma } from "../../../../spc/models/gamma.ts";
import { johnson } from "../../../../spc/models/johnson.ts";
import { fitLognormal } from "../../../../spc/models/lognormal.ts";
import type { DistributionModel } from "../../../../spc/models/model.ts";
import { modelLimits } from "../../../../spc/models/model-limits.ts";
import { fitNormal } from "../../../../spc/models/normal.ts";
import { fitRayleigh } from "../../../../spc/models/rayleigh.ts";
import type { FourQuantiles } from "../../../../spc/models/slifer-shapiro.ts";
import { fitJohnson, johnsonThrough } from "../../../../spc/models/slifer-shapiro.ts";
import { fitWeibull } from "../../../../spc/models/weibull.ts";

type Fit = (values: readonly number[]) => Outcome<DistributionModel>;
const fits: readonly Fit[] = [
  fitNormal,
  fitLognormal,
  fitWeibull,
  fitGamma,
  fitFoldedNormal,
  fitRayleigh,
  (values) => fitJohnson(values),
];
const amount = fc.double({ min: 0.5, max: 20, noNaN: true });
const amounts = fc.array(amount, { minLength: 25, maxLength: 60 });

test("in another unit every model has the same limits", () => {
  fc.assert(
    fc.property(amounts, fc.constantFrom(0.001, 25.4, 1e6), (values, unit) => {
      for (const fitted of fits) {
        const one = fitted(values);
        const other = fitted(values.map((x) => unit * x));
        expect(other.ok).toBe(one.ok);
        if (!one.ok || !other.ok) continue;
        const [a, b] = [modelLimits(one.value), modelLimits(other.value)];
        const span = a.upper - a.lower;
        for (const line of ["lower", "centre", "upper"] as const) {
          expect(Math.abs(b[line] / unit - a[line])).toBeLessThan(1e-6 * span);
        }
      }
    }),
    { numRuns: 60 },
  );
});

test("the order of the values moves no model", () => {
  fc.assert(
    fc.property(amounts, (values) => {
      for (const fitted of fits) {
        const one = fitted(values);
        const other = fitted([...values].reverse());
        if (!one.ok || !other.ok) continue;
        expect(other.value.quantile(0.9) / one.value.quantile(0.9)).toBeCloseTo(1, 7);
      }
    }),
    { numRuns: 40 },
  );
});

test("quantile and share undo each other, and quantiles rise", () => {
  // Read to hundredths, as instruments do: nearer together, a share is told by the last digits of a value.
  const readings = fc.array(
    fc.integer({ min: 50, max: 2000 }).map((x) => x / 100),
    { minLength: 25, maxLength: 60 },
  );
  fc.assert(
    fc.property(readings, (values) => {
      for (const fitted of fits) {
        const found = fitted(values);
        if (!found.ok) continue;
        let last = -Infinity;
        for (const p of [0.00135, 0.1, 0.5, 0.9, 0.99865]) {
          const x = found.value.quantile(p);
          expect(x).toBeGreaterThan(last);
          expect(Math.abs(found.value.cdf(x) - p)).toBeLessThan(1e-7);
          last = x;
        }
      }
    }),
    { numRuns: 60 },
  );
});

test("whatever is fitted, every line is a number or the fit is refused", () => {
  const hostile = fc.constantFrom(0, 1e-300, 1e300, -1e300, 1e7 + 0.1, 1e7 + 0.2, 1, 1 + 1e-15, 5e-324, 1.7e308);
  const arrays = fc.oneof(
    fc.array(hostile, { minLength: 0, maxLength: 60 }),
    fc.array(fc.double({ noNaN: true, noDefaultInfinity: true }), { minLength: 25, maxLength: 40 }),
    fc.array(fc.double({ min: 1e-300, max: 1e300, noNaN: true }), { minLength: 25, maxLength: 40 }),
    fc.array(fc.constantFrom(1e300, 1.1e300, 1.2e300), { minLength: 25, maxLength: 40 }),
    fc.array(fc.constantFrom(1e-300, 1.1e-300, 1.2e-300), { minLength: 25, maxLength: 40 }),
    fc.array(fc.constantFrom(1e7 + 0.1, 1e7 + 0.2, 1e7 + 0.3), { minLength: 25, maxLength: 40 }),
  );
  fc.assert(
    fc.property(arrays, (values) => {
      for (const fitted of fits) {
        const found = fitted(values);
        if (!found.ok) continue;
        for (const value of Object.values(found.value.parameters)) expect(Number.isFinite(value)).toBe(true);
        for (const line of Object.values(modelLimits(found.value))) expect(Number.isNaN(line)).toBe(false);
      }
      const power = fitBoxCox(values, 0.95);
      if (!power.ok) return;
      for (const value of Object.values(power.value)) expect(value === null || Number.isFinite(value)).toBe(true);
    }),
    { numRuns: 400 },
  );
});

test("four exact quantiles give back any Johnson curve", () => {
  const parameters = fc.record({
    form: fc.constantFrom("su", "sb", "sl"),
    gamma: fc.double({ min: -2, max: 2, noNaN: true }),
    delta: fc.double({ min: 0.5, max: 2.5, noNaN: true }),
    xi: fc.double({ min: -10, max: 10, noNaN: true }),
    lambda: fc.double({ min: 0.5, max: 20, noNaN: true }),
  });
  fc.assert(
    fc.property(parameters, fc.double({ min: 0.3, max: 0.9, noNaN: true }), ({ form, ...rest }, z) => {
      const { gamma, delta, xi, lambda } = rest;
      const bend = (at: number): number => {
        const v = (at - gamma) / delta;
        return form === "su"
          ? xi + lambda * Math.sinh(v)
          : form === "sb"
            ? xi + lambda / (1 + Math.exp(-v))
            : xi + Math.exp(v);
      };
      const four: FourQuantiles = [bend(-3 * z), bend(-z), bend(z), bend(3 * z)];
      const found = johnsonThrough(four, z);
      if (!found.ok) throw new Error(found.refusal.detail);
      // Within the band of SL the other two are told as SL or normal: then the curve is near, not the parameters.
      const own = johnson(
        form === "sl" ? { form, gamma, delta, xi } : { form: form as "su" | "sb", gamma, delta, xi, lambda },
      );
      const span = own.quantile(0.9) - own.quantile(0.1);
      const near = found.value.form === own.form ? 1e-6 : 0.02;
      for (const p of [0.1, 0.5, 0.9]) {
        expect(Math.abs(found.value.quantile(p) - own.quantile(p))).toBeLessThan(near * span);
      }
    }),
    { numRuns: 500 },
  );
});
