import { expect, test } from "vitest";
import type { Outcome } from "../../../../spc/model/outcome.ts";
import { absoluteHumidity, dewPoint, humidityRatio, saturationPressure } from "../../../../spc/physics/humidity.ts";
import { magnusOverWater } from "../../../../spc/physics/magnus.ts";
import { saturationPressureOverIce } from "../../../../spc/physics/over-ice.ts";
import { enhancementFactor, psychrometerVapourPressure } from "../../../../spc/physics/psychrometer.ts";
import { steamPressure } from "../../../../spc/physics/steam.ts";
import { reference } from "../../ledger/reference.ts";
import { either, relative } from "../../ledger/tolerance.ts";
import { significant } from "./significant.ts";

// Values of the formulas in WMO-No. 8 (Annex 4.B and chapter 4), worked out apart from this code; the column `if97`
// holds IAPWS-IF97 region 4, an independent equation of the same physics. The unit of a factor is written as 1.
const records = reference("humidity_magnus_wmo.csv", ["unit"]);

const numberOf = (outcome: Outcome<number>): number => {
  if (!outcome.ok) throw new Error(outcome.refusal.detail);
  return outcome.value;
};
const refusalOf = (outcome: Outcome<number>): string => (outcome.ok ? `gave ${outcome.value}` : outcome.refusal.code);

/** The numbers of `t=20 degC;U=50 %`. */
const argumentsOf = (text: string): Readonly<Record<string, number>> =>
  Object.fromEntries([...text.matchAll(/(\w+)=(-?[\d.]+)/g)].map(([, name, value]) => [name, Number(value)]));

const found: Record<string, (input: Readonly<Record<string, number>>) => number> = {
  // Above 60 Cel the formula alone, for there the function refuses.
  e_w: ({ t }) => (t! > 60 ? magnusOverWater(t!) : numberOf(saturationPressure(t!))),
  e_i: ({ t }) => numberOf(saturationPressureOverIce(t!)),
  dew_point: ({ t, U }) => numberOf(dewPoint(t!, U!)),
  absolute_humidity: ({ t, U }) => numberOf(absoluteHumidity(t!, U!)),
  mixing_ratio: ({ t, U, p }) => numberOf(humidityRatio(t!, U!, p!)),
  enhancement_factor: ({ p }) => numberOf(enhancementFactor(p!)),
  psychrometer_vapour_pressure: ({ t, tw, p }) => numberOf(psychrometerVapourPressure(t!, tw!, p!)),
};

for (const record of records) {
  const quantity = record.get<string>("quantity");
  const written = record.get<string>("arguments");
  test(`${quantity} at ${written}: ${record.title}`, () => {
    const input = argumentsOf(written);
    const ours = found[quantity]!(input);
    record.check("value", ours, either(relative(1e-9), significant(10)));
    if (record.get<string>("if97_check_hPa") === "") return;
    const if97 = 10_000 * numberOf(steamPressure(input["t"]! + 273.15));
    record.check("if97_check_hPa", if97, either(relative(1e-9), significant(10)));
    record.check("magnus_rel_error_vs_if97", ours / if97 - 1, significant(4));
  });
}

test("within its range the formula of the WMO lies within 0.32 percent of IAPWS-IF97", () => {
  for (let t = 0; t <= 60; t += 0.5) {
    const steam = 10_000 * numberOf(steamPressure(t + 273.15));
    expect(Math.abs(numberOf(saturationPressure(t)) / steam - 1)).toBeLessThan(0.0032);
  }
});

test("above 60 Cel the formula is refused, though it would give a number", () => {
  for (const t of [65, 70, 80]) expect(refusalOf(saturationPressure(t))).toBe("temperature-out-of-range");
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

test.each([-45.01, 60.01, Number.NaN, Number.POSITIVE_INFINITY])("air of %d Cel is refused", (t) => {
  expect(refusalOf(saturationPressure(t))).toBe("temperature-out-of-range");
  expect(refusalOf(dewPoint(t, 50))).toBe("temperature-out-of-range");
  expect(refusalOf(humidityRatio(t, 50, 1000))).toBe("temperature-out-of-range");
});

test.each([-0.1, 100.1, Number.NaN])("a relative humidity of %d percent is refused", (rh) => {
  expect(refusalOf(dewPoint(20, rh))).toBe("humidity-out-of-range");
  expect(refusalOf(humidityRatio(20, rh, 1000))).toBe("humidity-out-of-range");
  expect(refusalOf(absoluteHumidity(20, rh))).toBe("humidity-out-of-range");
});

test("dry air carries nothing and has no dew point", () => {
  expect(numberOf(humidityRatio(20, 0, 1000))).toBe(0);
  expect(refusalOf(dewPoint(20, 0))).toBe("humidity-out-of-range");
});

test.each([23, 0, -5, Number.NaN, Number.POSITIVE_INFINITY])("a pressure of %d hPa is refused for wet air", (p) => {
  expect(refusalOf(humidityRatio(20, 100, p))).toBe("pressure-out-of-range");
});
