import { expect, test } from "vitest";
import { standardPressure } from "../../../../spc/physics/site-pressure.ts";
import { answerOf, codeOf } from "./outcome.ts";

// ISO 2533, pressures over geopotential altitude, to two decimals [from memory].
test.each([
  [0, 1013.25],
  [1000, 898.75],
  [2000, 794.95],
  [5000, 540.2],
])("ISO 2533: at %d m the standard atmosphere has %d hPa [from memory]", (altitude, hpa) => {
  expect(Math.abs(answerOf(standardPressure(altitude)) - hpa)).toBeLessThanOrEqual(0.00501);
});

test("a plant at 312 m has 976.3 hPa", () => {
  expect(answerOf(standardPressure(312)).toFixed(1)).toBe("976.3");
});

test.each([-401, 5001, Number.NaN, Number.POSITIVE_INFINITY])("%d m is refused", (altitude) => {
  expect(codeOf(standardPressure(altitude))).toBe("height-out-of-range");
});
