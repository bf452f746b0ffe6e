import { expect, test } from "vitest";
import { dewPoint } from "../../../../spc/physics/humidity.ts";
import { magnusOverWater } from "../../../../spc/physics/magnus.ts";
import { mixingRatio, mixingRatioOfVapour, vapourOfMixingRatio } from "../../../../spc/physics/mixing-ratio.ts";
import {
  dewPointOfVapour,
  relativeOfVapour,
  saturationOverWater,
  saturationSlope,
  vapourDeficit,
  vapourOfRelative,
} from "../../../../spc/physics/moist-air.ts";
import { answerOf, codeOf } from "./outcome.ts";

// Worked out apart from this code at 1013.25 hPa with 621.945 g/kg where WMO-No. 8 prints 621.98, which moves none of
// these decimals.
test.each([
  [20, 50, 9.26, 7.24, 1.17],
  [25, 60, 16.69, 11.86, 1.26],
  [50, 10, 10.1, 7.67, 11.11],
  [50, 20, 20.92, 15.53, 9.88],
  [50, 30, 27.69, 23.6, 8.64],
  [60, 5, 6.98, 6.2, 18.99],
])("air of %d Cel and %d %%: dew point %d Cel, %d g/kg, deficit %d kPa", (t, rh, dew, ratio, deficit) => {
  const vapour = answerOf(vapourOfRelative(t, rh));
  expect(Math.abs(answerOf(dewPointOfVapour(vapour)) - dew)).toBeLessThanOrEqual(0.00501);
  expect(answerOf(dewPointOfVapour(vapour))).toBeCloseTo(answerOf(dewPoint(t, rh)), 10);
  expect(Math.abs(answerOf(mixingRatio(t, rh, 1013.25)) - ratio)).toBeLessThanOrEqual(0.0051);
  expect(Math.abs(answerOf(vapourDeficit(t, rh)) - deficit)).toBeLessThanOrEqual(0.00501);
});

// Worked out apart from this code: one mass of water, three temperatures.
test.each([
  [45, 12.8],
  [50, 9.9],
  [55, 7.8],
])("air of 10 Cel dew point, warmed to %d Cel, shows %d %%", (t, rh) => {
  const vapour = answerOf(saturationOverWater(10));
  expect(Math.abs(answerOf(relativeOfVapour(t, vapour)) - rh)).toBeLessThanOrEqual(0.0501);
});

// IAPWS-IF97 region 4 at 70, 80, 90 and 100 Cel: 31.2010, 47.4147, 70.1824 and 101.418 kPa in the steam tables (from memory).
test.each([
  [70, 312.01],
  [80, 474.147],
  [90, 701.824],
  [100, 1014.18],
])("above 60 Cel the steam tables hold: %d Cel, %d hPa [from memory]", (t, hpa) => {
  expect(Math.abs(answerOf(saturationOverWater(t)) / hpa - 1)).toBeLessThan(2e-5);
});

// Worked out apart from this code, printed to 0.01 %, 0.01 % and 0.1 %.
test.each([
  [60, 0.24, 0.006],
  [70, 0.63, 0.006],
  [80, 1.1, 0.06],
])("at %d Cel the WMO's formula would stand %d %% above IAPWS-IF97", (t, percent, room) => {
  const steam = answerOf(saturationOverWater(t === 60 ? 60 + 1e-9 : t));
  expect(Math.abs(100 * (magnusOverWater(t) / steam - 1) - percent)).toBeLessThan(room);
});

test("at the seam the dew point is off by 0.06 K at most", () => {
  for (let t = 60; t <= 60.2; t += 0.001) {
    expect(Math.abs(answerOf(dewPointOfVapour(answerOf(saturationOverWater(t)))) - t)).toBeLessThan(0.06);
  }
});

test("slopes are those of the formulas", () => {
  for (const t of [-45, -10, 0, 20, 50, 59.9, 60.1, 75, 99.9]) {
    const step = 1e-4;
    const from = Math.max(-45, t - step);
    const numeric = (answerOf(saturationOverWater(t + step)) - answerOf(saturationOverWater(from))) / (t + step - from);
    expect(Math.abs(answerOf(saturationSlope(t)) / numeric - 1)).toBeLessThan(1e-5);
  }
});

test("outside its range nothing is computed", () => {
  for (const bad of [Number.NaN, Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY, 1e300, -46, 100.01]) {
    expect(codeOf(saturationOverWater(bad))).toBe("temperature-out-of-range");
    expect(codeOf(saturationSlope(bad))).toBe("temperature-out-of-range");
    expect(codeOf(vapourOfRelative(bad, 50))).toBe("temperature-out-of-range");
    expect(codeOf(relativeOfVapour(bad, 5))).toBe("temperature-out-of-range");
    expect(codeOf(mixingRatio(bad, 50, 1000))).toBe("temperature-out-of-range");
    expect(codeOf(vapourDeficit(bad, 50))).toBe("temperature-out-of-range");
    expect(codeOf(vapourOfRelative(20, bad))).toBe("humidity-out-of-range");
    expect(codeOf(mixingRatioOfVapour(5, bad))).toBe("pressure-out-of-range");
    expect(codeOf(vapourOfMixingRatio(5, bad))).toBe("pressure-out-of-range");
  }
  for (const bad of [Number.NaN, Number.POSITIVE_INFINITY, -1, 1e300, 1016, 0]) {
    expect(codeOf(dewPointOfVapour(bad))).toBe("humidity-out-of-range");
  }
  for (const bad of [Number.NaN, Number.POSITIVE_INFINITY, -1, 1e300]) {
    expect(codeOf(relativeOfVapour(20, bad))).toBe("humidity-out-of-range");
    expect(codeOf(vapourOfMixingRatio(bad, 1000))).toBe("humidity-out-of-range");
  }
  expect(codeOf(mixingRatioOfVapour(-0.1, 1000))).toBe("humidity-out-of-range");
  expect(codeOf(mixingRatioOfVapour(Number.NaN, 1000))).toBe("humidity-out-of-range");
  expect(codeOf(mixingRatioOfVapour(1000, 1000))).toBe("pressure-out-of-range");
  expect(codeOf(mixingRatio(99.9, 100, 1000))).toBe("pressure-out-of-range");
  expect(codeOf(relativeOfVapour(20, 30))).toBe("humidity-out-of-range");
});
