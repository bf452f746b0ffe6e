import { expect, test } from "vitest";
import { dryAirOfVolume } from "../../../../spc/physics/dry-air.ts";
import { absoluteHumidity } from "../../../../spc/physics/humidity.ts";
import { mixingRatio } from "../../../../spc/physics/mixing-ratio.ts";
import { answerOf, codeOf } from "./outcome.ts";

// ISO 2533 at sea level, and textbooks at 20 Cel and 1013.25 hPa.
test("a cubic metre of dry air holds 1.225 kg at 15 Cel and 1.204 kg at 20 Cel [from memory]", () => {
  expect(answerOf(dryAirOfVolume(1, 15, 0, 1013.25)).toFixed(3)).toBe("1.225");
  expect(answerOf(dryAirOfVolume(1, 20, 0, 1013.25)).toFixed(3)).toBe("1.204");
});

test.each([
  [20, 50],
  [33, 57],
  [50, 20],
])("dry air of %d Cel and %d %% carries the water that the same volume holds", (t, rh) => {
  const carried = answerOf(dryAirOfVolume(1, t, rh, 1013.25)) * answerOf(mixingRatio(t, rh, 1013.25));
  // The constants of both gases are rounded to four to six digits.
  expect(Math.abs(carried / answerOf(absoluteHumidity(t, rh)) - 1)).toBeLessThan(2e-4);
});

test("outside its range nothing is computed", () => {
  for (const bad of [Number.NaN, Number.POSITIVE_INFINITY, -1, 1e300]) {
    expect(codeOf(dryAirOfVolume(bad, 20, 50, 1000))).toBe("airflow-out-of-range");
    expect(codeOf(dryAirOfVolume(1, 20, bad, 1000))).toBe("humidity-out-of-range");
    expect(codeOf(dryAirOfVolume(1, 20, 50, bad))).toBe("pressure-out-of-range");
  }
  expect(codeOf(dryAirOfVolume(1, Number.NaN, 50, 1000))).toBe("temperature-out-of-range");
  expect(codeOf(dryAirOfVolume(1, 100, 100, 1000))).toBe("pressure-out-of-range");
});
