import { expect, test } from "vitest";
import { bulkDensityOfPorosity, porosity, relativeDensity } from "../../../../spc/physics/sand.ts";
import { answerOf, codeOf } from "./outcome.ts";

// Worked out apart from this code for quartz grain of 2650 kg/m3, printed to 0.1 %.
test.each([
  [1500, 43.4],
  [1600, 39.6],
  [1700, 35.8],
  [1795, 32.3],
])("quartz sand of %d kg/m3 is %d %% air", (bulk, percent) => {
  expect(Math.abs(100 * answerOf(porosity(bulk, 2650)) - percent)).toBeLessThanOrEqual(0.0501);
});

// ASTM D4254 defines it by void ratios e = grain / bulk - 1, of which the grain cancels [from memory].
test.each([1450, 1523, 1600, 1700])("relative density of %d kg/m3 is that of void ratios [from memory]", (bulk) => {
  const e = (density: number): number => 2650 / density - 1;
  const byVoids = (e(1450) - e(bulk)) / (e(1450) - e(1700));
  expect(answerOf(relativeDensity(bulk, 1450, 1700))).toBeCloseTo(byVoids, 12);
});

test("what no sand can be is refused", () => {
  for (const bad of [Number.NaN, Number.POSITIVE_INFINITY, 0, -1, 2650]) {
    expect(codeOf(porosity(bad, 2650))).toBe("density-out-of-range");
    expect(codeOf(relativeDensity(bad, 1450, 1700))).toBe("density-out-of-range");
    expect(codeOf(relativeDensity(1500, 1450, bad === 2650 ? 1450 : bad))).toBe("density-out-of-range");
  }
  for (const bad of [Number.NaN, 1999, 4501]) {
    expect(codeOf(porosity(1500, bad))).toBe("density-out-of-range");
    expect(codeOf(bulkDensityOfPorosity(0.4, bad))).toBe("density-out-of-range");
  }
  for (const bad of [Number.NaN, 0, 1, -1]) {
    expect(codeOf(bulkDensityOfPorosity(bad, 2650))).toBe("porosity-out-of-range");
  }
});
