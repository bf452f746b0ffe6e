import { expect, test } from "vitest";
import {
  absoluteBar,
  airInSteam,
  mixtureTemperature,
  saturationMismatch,
} from "../../../../spc/physics/air-in-steam.ts";
import { steamTemperature } from "../../../../spc/physics/steam.ts";
import { steamSlope } from "../../../../spc/physics/steam-slope.ts";
import { answerOf, codeOf } from "./outcome.ts";

const ambient = 1013.25;
const oneBarGauge = answerOf(absoluteBar(1, ambient));

// Worked out apart from this code, from IAPWS-IF97 region 4 and Dalton's law at 1.0 bar gauge, printed to one decimal.
test.each([
  [120.4, 0.1, 0.1],
  [119, 4.4, 6.9],
  [118, 7.4, 11.4],
  [117, 10.3, 15.6],
  [115, 16.0, 23.4],
  [112, 23.9, 33.5],
  [110, 28.8, 39.4],
])("1 bar gauge at %d Cel holds %d mol %% and %d mass %% of air", (tCel, mol, mass) => {
  const found = answerOf(airInSteam(tCel, oneBarGauge, 0));
  expect(Math.abs(found.airMolPercent - mol)).toBeLessThanOrEqual(0.0501);
  expect(Math.abs(found.airMassPercent - mass)).toBeLessThanOrEqual(0.0501);
  expect(found.airBar + found.steamBar).toBeCloseTo(oneBarGauge, 12);
});

// The same, forward, printed to two decimals.
test.each([
  [0, 117.14],
  [5, 115.55],
  [10, 113.9],
  [20, 110.35],
])("0.8 bar gauge with %d mol %% of air stands at %d Cel", (mol, tCel) => {
  const bar = answerOf(absoluteBar(0.8, ambient));
  expect(Math.abs(answerOf(mixtureTemperature(bar, mol)) - tCel)).toBeLessThanOrEqual(0.00501);
});

// Worked out apart from this code from region 4 by small differences, printed to one decimal.
test.each([
  [0, 27.7],
  [0.3, 22.3],
  [0.5, 19.9],
  [0.8, 17.1],
  [0.9, 16.4],
  [1, 15.7],
  [1.2, 14.6],
  [2, 11.3],
  [4, 7.5],
  [8, 4.7],
])("at %d bar gauge a bar more makes steam %d K hotter", (gauge, slope) => {
  const mpa = 0.101325 + gauge / 10;
  expect(Math.abs(answerOf(steamSlope(mpa)) - slope)).toBeLessThanOrEqual(0.0501);
  const step = 1e-6;
  const numeric = (answerOf(steamTemperature(mpa + step)) - answerOf(steamTemperature(mpa - step))) / (20 * step);
  expect(Math.abs(answerOf(steamSlope(mpa)) / numeric - 1)).toBeLessThan(1e-6);
});

// Worked out apart from this code from region 4: the same gauge means less heat where the air is thin.
test.each([
  [0, 96.69],
  [0.3, 104.78],
  [0.5, 109.29],
  [0.8, 115.15],
  [0.9, 116.91],
  [1, 118.6],
  [1.2, 121.76],
  [2, 132.37],
  [4, 151.08],
  [8, 174.88],
])("at 900 hPa outside, %d bar gauge is saturated at %d Cel", (gauge, tCel) => {
  expect(Math.abs(answerOf(saturationMismatch(tCel, gauge, 900)))).toBeLessThanOrEqual(0.00501);
});

test("a thermocouple that may err by 2.5 K makes 8 mol % of air of pure steam at 1 bar gauge", () => {
  const { plusMinusMolPercent } = answerOf(airInSteam(112, oneBarGauge, 2.5));
  expect(plusMinusMolPercent).toBeGreaterThan(7.5);
  expect(plusMinusMolPercent).toBeLessThan(8.5);
});

test("what a thermometer's error can explain is no air, and steam above saturation tells nothing of it", () => {
  const saturated = answerOf(steamTemperature(oneBarGauge / 10)) - 273.15;
  expect(codeOf(airInSteam(saturated - 2.4, oneBarGauge, 2.5))).toBe("not-resolvable");
  expect(codeOf(airInSteam(saturated + 2.4, oneBarGauge, 2.5))).toBe("not-resolvable");
  expect(codeOf(airInSteam(saturated + 2.6, oneBarGauge, 2.5))).toBe("superheated");
  expect(codeOf(airInSteam(saturated + 0.1, oneBarGauge, 0))).toBe("superheated");
  expect(answerOf(airInSteam(saturated - 2.6, oneBarGauge, 2.5)).airMolPercent).toBeGreaterThan(7.5);
});

test("outside its range nothing is computed", () => {
  for (const bad of [Number.NaN, Number.POSITIVE_INFINITY, -1e300, 1e300, -0.1]) {
    expect(codeOf(absoluteBar(1, bad))).toBe("pressure-out-of-range");
    expect(codeOf(saturationMismatch(bad, 1, ambient))).toBe("temperature-out-of-range");
    expect(codeOf(airInSteam(bad, 2, 0))).toBe("temperature-out-of-range");
    expect(codeOf(airInSteam(100, bad, 0))).toBe("pressure-out-of-range");
    expect(codeOf(mixtureTemperature(bad, 5))).toBe("pressure-out-of-range");
    expect(codeOf(mixtureTemperature(2, bad))).toBe("air-out-of-range");
    expect(codeOf(steamSlope(bad))).toBe("pressure-out-of-range");
  }
  expect(codeOf(absoluteBar(Number.NaN, ambient))).toBe("pressure-out-of-range");
  expect(codeOf(saturationMismatch(100, 1e300, ambient))).toBe("pressure-out-of-range");
  expect(codeOf(mixtureTemperature(2, 100))).toBe("air-out-of-range");
  expect(codeOf(mixtureTemperature(0.2, 99.9))).toBe("pressure-out-of-range");
  for (const bad of [Number.NaN, -1, 100]) expect(() => airInSteam(100, 2, bad)).toThrow(RangeError);
});
