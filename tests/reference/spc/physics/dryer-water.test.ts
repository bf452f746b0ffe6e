import { expect, test } from "vitest";
import { waterBalance, waterRate } from "../../../../spc/physics/dryer-water.ts";
import { answerOf, codeOf } from "./outcome.ts";

const step = { seconds: 3600, airKgS: 0.55, returnGkg: 11.9, supplyGkg: 5 };
const exact = { airShare: 0, differenceGkg: 0 };

test("0.55 kg/s of dry air that takes up 6.9 g/kg carries 13.66 kg/h", () => {
  expect(Math.abs(answerOf(waterRate(0.55, 11.9, 5)) - 13.66)).toBeLessThanOrEqual(0.00501);
});

test("13.7 kg/h is evaporated by some 9 kW, with 2,382 kJ/kg at 50 Cel [from memory]", () => {
  expect(((answerOf(waterRate(0.55, 11.9, 5)) / 3600) * 2382).toFixed(0)).toBe("9");
});

test("the balance of a load is the sum of its steps, and its errors are taken as lasting", () => {
  const { waterKg, airKg, plusMinusKg } = answerOf(waterBalance([step, step], { airShare: 0.03, differenceGkg: 0.4 }));
  expect(waterKg).toBeCloseTo(27.324, 10);
  expect(airKg).toBeCloseTo(3960, 10);
  expect(plusMinusKg).toBeCloseTo(Math.hypot(0.03 * 27.324, 0.4 * 3.96), 10);
});

test("water that a load takes up again is taken off", () => {
  const back = { ...step, seconds: 600, returnGkg: 4 };
  expect(answerOf(waterBalance([step, back], exact)).waterKg).toBeCloseTo(13.662 - 0.33, 10);
});

test("probes that leave more than 15 % of doubt give no balance", () => {
  const outcome = waterBalance([step], { airShare: 0.05, differenceGkg: 2.2 });
  expect(codeOf(outcome)).toBe("not-resolvable");
  if (!outcome.ok) expect(outcome.refusal.needs! < outcome.refusal.has!).toBe(true);
  expect(answerOf(waterBalance([step], { airShare: 0.15, differenceGkg: 0 })).plusMinusKg).toBeCloseTo(
    0.15 * 13.662,
    9,
  );
  expect(codeOf(waterBalance([step], { airShare: 0.151, differenceGkg: 0 }))).toBe("not-resolvable");
});

test("nothing is computed of no steps, of no water, and of numbers that are none", () => {
  expect(codeOf(waterBalance([], exact))).toBe("too-few");
  expect(codeOf(waterBalance([{ ...step, returnGkg: 5 }], exact))).toBe("not-positive");
  expect(codeOf(waterBalance([{ ...step, returnGkg: 4 }], exact))).toBe("not-positive");
  for (const bad of [Number.NaN, Number.POSITIVE_INFINITY, -1]) {
    expect(codeOf(waterBalance([{ ...step, seconds: bad }], exact))).toBe("not-positive");
    expect(codeOf(waterBalance([{ ...step, airKgS: bad }], exact))).toBe("airflow-out-of-range");
    expect(codeOf(waterBalance([{ ...step, returnGkg: bad }], exact))).toBe("humidity-out-of-range");
    expect(codeOf(waterBalance([{ ...step, supplyGkg: bad }], exact))).toBe("humidity-out-of-range");
    expect(() => waterBalance([step], { ...exact, airShare: bad })).toThrow(RangeError);
    expect(() => waterBalance([step], { ...exact, differenceGkg: bad })).toThrow(RangeError);
  }
  const long = { ...step, seconds: 1e308, airKgS: 100 };
  expect(codeOf(waterBalance([long, long], exact))).toBe("not-finite");
});
