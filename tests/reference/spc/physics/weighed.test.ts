import { expect, test } from "vitest";
import {
  coatingOnArea,
  densityIndex,
  densityOf,
  moistureOfWet,
  pentaneLeft,
  waterOfDryCoat,
} from "../../../../spc/physics/weighed.ts";
import { answerOf, codeOf } from "./outcome.ts";

// Foundry lexicon (giessereilexikon.com, entry Density index): Al Si9Cu3(Fe) before and after degassing.
test.each([
  [2.693, 2.385, 11.44],
  [2.709, 2.687, 0.81],
])("samples of %d and %d kg/L have a density index of %d %%: foundry lexicon, Density index", (air, low, index) => {
  expect(Math.abs(answerOf(densityIndex(air, low)) - index)).toBeLessThanOrEqual(0.00501);
});

test("22 g of prepuff in a cup of one litre is 22 g/L", () => {
  expect(answerOf(densityOf(22, 1))).toBe(22);
  expect(answerOf(densityOf(41, 1.8636))).toBeCloseTo(22, 3);
});

test("coating, moisture and dryness are shares of what they say", () => {
  expect(answerOf(coatingOnArea(164, 434, 30))).toBe(9);
  expect(answerOf(moistureOfWet(95, 100))).toBe(5);
  // 95 kg of dry coating that still holds 1.52 %.
  expect(answerOf(waterOfDryCoat(120_000, 121_444, 95_000))).toBeCloseTo(1.52, 12);
});

// ln 2 / 0.01 a day: half of the pentane in 69.3 days.
test("what goes off at 0.01 a day is half gone in 69.3 days", () => {
  expect(answerOf(pentaneLeft(6, 0.01 / 24, 69.3147 * 24))).toBeCloseTo(3, 5);
});

test("weights that are none or swapped are refused", () => {
  for (const bad of [Number.NaN, Number.POSITIVE_INFINITY, 0, -1]) {
    expect(codeOf(densityOf(bad, 1))).toBe("not-positive");
    expect(codeOf(densityOf(1, bad))).toBe("not-positive");
    expect(codeOf(coatingOnArea(bad, 2, 1))).toBe("not-positive");
    expect(codeOf(coatingOnArea(1, 2, bad))).toBe("not-positive");
    expect(codeOf(moistureOfWet(1, bad))).toBe("not-positive");
    expect(codeOf(waterOfDryCoat(1, 2, bad))).toBe("not-positive");
    expect(codeOf(densityIndex(bad, 2))).toBe("not-positive");
    expect(codeOf(pentaneLeft(6, bad, 1))).toBe("not-positive");
  }
  expect(codeOf(coatingOnArea(2, 1, 1))).toBe("weights-swapped");
  expect(codeOf(moistureOfWet(2, 1))).toBe("weights-swapped");
  expect(codeOf(waterOfDryCoat(2, 1, 1))).toBe("weights-swapped");
  expect(codeOf(densityIndex(2.6, 2.7))).toBe("weights-swapped");
  expect(codeOf(densityOf(1e300, 1e-300))).toBe("not-finite");
  expect(codeOf(pentaneLeft(0, 1, 1))).toBe("pentane-out-of-range");
  expect(codeOf(pentaneLeft(101, 1, 1))).toBe("pentane-out-of-range");
  expect(codeOf(pentaneLeft(6, 1, -1))).toBe("time-out-of-range");
  expect(codeOf(pentaneLeft(6, 1, Number.NaN))).toBe("time-out-of-range");
});
