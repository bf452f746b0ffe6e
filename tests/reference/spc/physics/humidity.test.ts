import { readFileSync } from "node:fs";
import { expect, test } from "vitest";
import type { Outcome } from "../../../../spc/model/outcome.ts";
import { dewPoint, humidityRatio, saturationPressure } from "../../../../spc/physics/humidity.ts";

// Values of the formulas in WMO-No. 8 (Annex 4.B and chapter 4), worked out apart from this code; the column `if97`
// holds IAPWS-IF97 region 4, an independent equation of the same physics. Sources stand beside each row.
const rows = readFileSync("tests/reference/data/spc/humidity-magnus-wmo.csv", "utf8")
  .trim()
  .split("\n")
  .slice(1)
  .map((line) => {
    const [quantity, inputs = "", value, unit, if97] = line.split(",");
    const numbers = Object.fromEntries([...inputs.matchAll(/(\w+)=(-?[\d.]+)/g)].map(([, k, v]) => [k, Number(v)]));
    return { quantity, inputs, numbers, value: Number(value), unit, if97: Number(if97 ?? "") };
  });

const numberOf = (outcome: Outcome<number>): number => {
  if (!outcome.ok) throw new Error(outcome.refusal.detail);
  return outcome.value;
};
const refusalOf = (outcome: Outcome<number>): string => (outcome.ok ? `gave ${outcome.value}` : outcome.refusal.code);
const relative = (ours: number, theirs: number): number => Math.abs(ours / theirs - 1);
const ofQuantity = (name: string) => rows.filter(({ quantity }) => quantity === name);

const saturation = ofQuantity("e_w").filter(({ numbers }) => numbers["t"]! <= 60);
test.each(saturation)("e_w at $inputs is $value hPa (WMO-No. 8 Annex 4.B)", ({ numbers, value }) => {
  expect(relative(numberOf(saturationPressure(numbers["t"]!)), value)).toBeLessThan(1e-9);
});

const steam = saturation.filter(({ if97 }) => if97 > 0);
test.each(steam)("e_w at $inputs lies within 0.32 percent of $if97 hPa (IAPWS-IF97 region 4)", ({ numbers, if97 }) => {
  expect(relative(numberOf(saturationPressure(numbers["t"]!)), if97)).toBeLessThan(0.0032);
});

test.each(ofQuantity("dew_point"))("dew point of $inputs is $value Cel", ({ numbers, value }) => {
  expect(Math.abs(numberOf(dewPoint(numbers["t"]!, numbers["U"]!)) - value)).toBeLessThan(1e-8);
});

test.each(ofQuantity("mixing_ratio"))("humidity ratio of $inputs is $value g/kg", ({ numbers, value }) => {
  expect(relative(numberOf(humidityRatio(numbers["t"]!, numbers["U"]!, numbers["p"]!)), value)).toBeLessThan(1e-9);
});

// Printed to two decimals; worked out from the WMO formula with 621.945 g/kg, the ratio of the molar masses to six
// digits, where WMO-No. 8 prints 621.98: that moves none of these decimals.
test.each([
  [20, 50, 9.26, 7.24],
  [25, 60, 16.69, 11.86],
  [50, 10, 10.1, 7.67],
  [50, 20, 20.92, 15.53],
  [50, 30, 27.69, 23.6],
  [60, 5, 6.98, 6.2],
])(
  "air of %d Cel and %d percent has its dew point at %d Cel and carries %d g/kg at 1013.25 hPa",
  (t, rh, dew, ratio) => {
    expect(numberOf(dewPoint(t, rh)).toFixed(2)).toBe(dew.toFixed(2));
    expect(Math.abs(numberOf(humidityRatio(t, rh, 1013.25)) - ratio)).toBeLessThan(0.0051);
  },
);

test("every kind of row was found in the data", () => {
  expect([saturation.length, steam.length, ofQuantity("dew_point").length, ofQuantity("mixing_ratio").length]).toEqual([
    15, 13, 7, 7,
  ]);
});

test.each([-45.01, 60.01, Number.NaN, Number.POSITIVE_INFINITY])("air of %d Cel is refused", (t) => {
  expect(refusalOf(saturationPressure(t))).toBe("temperature-out-of-range");
  expect(refusalOf(dewPoint(t, 50))).toBe("temperature-out-of-range");
  expect(refusalOf(humidityRatio(t, 50, 1000))).toBe("temperature-out-of-range");
});

test.each([-0.1, 100.1, Number.NaN])("a relative humidity of %d percent is refused", (rh) => {
  expect(refusalOf(dewPoint(20, rh))).toBe("humidity-out-of-range");
  expect(refusalOf(humidityRatio(20, rh, 1000))).toBe("humidity-out-of-range");
});

test("dry air carries nothing and has no dew point", () => {
  expect(numberOf(humidityRatio(20, 0, 1000))).toBe(0);
  expect(refusalOf(dewPoint(20, 0))).toBe("humidity-out-of-range");
});

test.each([23, 0, -5, Number.NaN, Number.POSITIVE_INFINITY])("a pressure of %d hPa is refused for wet air", (p) => {
  expect(refusalOf(humidityRatio(20, 100, p))).toBe("pressure-out-of-range");
});
