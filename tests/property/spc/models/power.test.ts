import fc from "fast-check";
import { expect, test } from "vitest";
import { nearestIndex } from "../../../../spc/capability/indices.ts";
import { boxCoxPower, boxCoxValue, plainPower, powerOfLimits } from "../../../../spc/models/power.ts";
import { moments } from "../../../../spc/stats/moments.ts";

const positive = fc.double({ min: 1e-3, max: 1e3, noNaN: true });
const lambda = fc.oneof(fc.constantFrom(-2, -1, -0.5, 0, 0.5, 1, 2), fc.double({ min: -2, max: 2, noNaN: true }));

test("a power leads back to its value", () => {
  fc.assert(
    fc.property(positive, lambda, (x, power) => {
      const y = boxCoxPower(x, power);
      const back = boxCoxValue(y, power);
      if (!back.ok) throw new Error(back.refusal.detail);
      // Where 1 + lambda y is small the way back loses the digits that y could not hold.
      const lost = 1 + Math.max(1, Math.abs(power * y)) * Math.exp(-power * Math.log(x));
      expect(Math.abs(back.value / x - 1)).toBeLessThan((1e-12 * lost) / Math.max(Math.abs(power), 1e-3));
    }),
    { numRuns: 1000 },
  );
});

test("the scaled power keeps the order, the plain one turns it round below zero", () => {
  fc.assert(
    fc.property(positive, positive, lambda, (a, b, power) => {
      fc.pre(a < b * (1 - 1e-9));
      expect(boxCoxPower(a, power)).toBeLessThanOrEqual(boxCoxPower(b, power));
      if (power < -0.01) expect(plainPower(a, power)).toBeGreaterThan(plainPower(b, power));
      if (power > 0.01) expect(plainPower(a, power)).toBeLessThan(plainPower(b, power));
    }),
  );
});

test("either power gives the same index, for the specification goes with the data", () => {
  const values = fc.array(positive, { minLength: 25, maxLength: 40 });
  fc.assert(
    fc.property(values, fc.constantFrom(-2, -1, -0.5, 0, 0.5, 1, 2), (data, power) => {
      const specification = { lower: 0.5, upper: 700 };
      const plain = moments(data.map((x) => plainPower(x, power)));
      const scaled = moments(data.map((x) => boxCoxPower(x, power)));
      fc.pre(scaled.sd > 1e-3 * Math.abs(scaled.mean));
      const limits = powerOfLimits(specification, power);
      if (!limits.ok) throw new Error(limits.refusal.detail);
      const { lower, upper } = limits.value;
      expect(lower).toBeLessThan(upper!);
      const named = { unit: "", origin: "" };
      const one = nearestIndex({ lower: lower!, upper: upper!, ...named }, plain.mean, plain.sd);
      const other = nearestIndex(
        { lower: boxCoxPower(0.5, power), upper: boxCoxPower(700, power), ...named },
        scaled.mean,
        scaled.sd,
      );
      if (!one.ok || !other.ok) throw new Error("refused");
      expect(Math.abs(one.value - other.value)).toBeLessThan(1e-6 * (1 + Math.abs(one.value)));
    }),
  );
});

test("a limit at zero has no power, one side keeps its side or changes it", () => {
  expect(powerOfLimits({ lower: 0, upper: 4 }, 0.5)).toMatchObject({ refusal: { code: "not-positive" } });
  expect(powerOfLimits({ upper: 4 }, 0.5)).toEqual({ ok: true, value: { upper: 2 } });
  expect(powerOfLimits({ upper: 4 }, -1)).toEqual({ ok: true, value: { lower: 0.25 } });
  expect(powerOfLimits({}, -1)).toEqual({ ok: true, value: {} });
});

test("what has no power is a defect, and what no value has is refused", () => {
  for (const bad of [0, -1, Number.NaN, Infinity]) {
    expect(() => boxCoxPower(bad, 1)).toThrow(RangeError);
    expect(() => plainPower(bad, 1)).toThrow(RangeError);
  }
  expect(() => plainPower(1, Number.NaN)).toThrow(RangeError);
  expect(() => boxCoxValue(Number.NaN, 1)).toThrow(RangeError);
  expect(boxCoxValue(-2, 1)).toMatchObject({ refusal: { code: "not-a-number" } });
  expect(boxCoxValue(-1, 1)).toMatchObject({ refusal: { code: "not-a-number" } });
  expect(boxCoxValue(1e300, 1e-3)).toMatchObject({ refusal: { code: "not-a-number" } });
});
