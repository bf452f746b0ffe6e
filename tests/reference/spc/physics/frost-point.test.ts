import { expect, test } from "vitest";
import { dewPointOfVapour } from "../../../../spc/physics/moist-air.ts";
import { frostPoint, saturationPressureOverIce } from "../../../../spc/physics/over-ice.ts";
import { answerOf, codeOf } from "./outcome.ts";

// Vapour over ice: 1.0326 hPa at -20 Cel and 2.599 hPa at -10 Cel by Goff and Gratch, which other formulas of ice meet
// to 0.1 % or 0.01 K [from memory].
test.each([
  [1.0326, -20],
  [2.599, -10],
])("air of %d hPa has its frost point at %d Cel [from memory]", (hpa, tCel) => {
  expect(Math.abs(answerOf(frostPoint(hpa)) - tCel)).toBeLessThan(0.02);
});

test("the frost point leads back to the vapour pressure and lies above the dew point, which meets it at 0 Cel", () => {
  for (let t = -45; t < 0; t += 0.5) {
    const vapour = answerOf(saturationPressureOverIce(t));
    expect(Math.abs(answerOf(frostPoint(vapour)) - t)).toBeLessThan(1e-9);
    const dew = dewPointOfVapour(vapour);
    if (dew.ok) expect(dew.value).toBeLessThan(t);
  }
  expect(answerOf(frostPoint(6.112))).toBeCloseTo(0, 12);
});

test.each([Number.NaN, Number.POSITIVE_INFINITY, 0, -1, 0.005, 6.113, 1e300])("%d hPa has no frost point", (hpa) => {
  expect(codeOf(frostPoint(hpa))).toBe("humidity-out-of-range");
});
