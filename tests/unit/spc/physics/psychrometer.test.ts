import { expect, test } from "vitest";
import type { Outcome } from "../../../../spc/model/outcome.ts";
import { absoluteHumidity } from "../../../../spc/physics/humidity.ts";
import { saturationPressureOverIce } from "../../../../spc/physics/over-ice.ts";
import { enhancementFactor, psychrometerVapourPressure } from "../../../../spc/physics/psychrometer.ts";
import { steamPressure, steamTemperature } from "../../../../spc/physics/steam.ts";

const said = (outcome: Outcome<number>): string | number => (outcome.ok ? outcome.value : outcome.refusal.code);
const notNumbers = [Number.NaN, Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY, 1e300, -1e300];

test("what is no temperature or pressure gives no number anywhere", () => {
  for (const bad of notNumbers) {
    expect(said(saturationPressureOverIce(bad))).toBe("temperature-out-of-range");
    expect(said(steamPressure(bad))).toBe("temperature-out-of-range");
    expect(said(steamTemperature(bad))).toBe("pressure-out-of-range");
    expect(said(enhancementFactor(bad))).toBe("pressure-out-of-range");
    expect(said(absoluteHumidity(bad, 50))).toBe("temperature-out-of-range");
    expect(said(psychrometerVapourPressure(bad, 10, 1000))).toBe("temperature-out-of-range");
    expect(said(psychrometerVapourPressure(20, bad, 1000))).toBe("temperature-out-of-range");
    expect(said(psychrometerVapourPressure(20, 10, bad))).toBe("pressure-out-of-range");
  }
});

test.each([
  [saturationPressureOverIce(-65.01), "temperature-out-of-range"],
  [saturationPressureOverIce(0.01), "temperature-out-of-range"],
  [steamPressure(273.14), "temperature-out-of-range"],
  [steamPressure(647.1), "temperature-out-of-range"],
  [steamTemperature(0.0006112), "pressure-out-of-range"],
  [steamTemperature(22.0641), "pressure-out-of-range"],
  [psychrometerVapourPressure(20, 21, 1000), "humidity-out-of-range"],
  [psychrometerVapourPressure(60, 1, 1000), "humidity-out-of-range"],
  [psychrometerVapourPressure(5, -1, 1000), "temperature-out-of-range"],
])("outside its range a formula is refused (%#)", (outcome, code) => {
  expect(said(outcome)).toBe(code);
});

test("the line between water and steam can be read both ways from end to end", () => {
  for (const t of [273.15, 273.16, 300, 373.15, 500, 640, 647.096]) {
    const pressure = said(steamPressure(t));
    expect(Math.abs(Number(said(steamTemperature(Number(pressure)))) - t)).toBeLessThan(1e-6);
  }
});
