import { expect, test } from "vitest";
import {
  beatWindow,
  crestFactor,
  leastSamplingRate,
  outerRaceFrequency,
  unbalanceForce,
} from "../../../../spc/physics/rotating.ts";
import { answerOf, codeOf } from "./outcome.ts";

test("unbalanced motors at 38 Hz in place of 40 Hz push 9.75 % less", () => {
  expect(answerOf(unbalanceForce(38, 40)) - 1).toBeCloseTo(-0.0975, 12);
});

// The five states of a vibrating table as they were simulated: RMS, peak and crest to two decimals.
test.each([
  [0.967, 1.58, 1.64],
  [0.49, 0.92, 1.87],
  [0.679, 1.53, 2.25],
  [1.1, 3.03, 2.75],
  [1.046, 4.16, 3.98],
])("RMS %d g and peak %d g make a crest of %d", (rms, peak, crest) => {
  // Peak and RMS are rounded themselves.
  expect(Math.abs(answerOf(crestFactor(peak, rms)) - crest)).toBeLessThan(
    0.005 + crest * (0.005 / peak + 0.0005 / rms),
  );
});

test("a sine has a crest of the root of 2, a square wave of 1", () => {
  expect(answerOf(crestFactor(1, Math.SQRT1_2))).toBeCloseTo(Math.SQRT2, 12);
  expect(answerOf(crestFactor(0.1 + 0.2, 0.3))).toBeCloseTo(1, 12);
  expect(answerOf(crestFactor(0.3, 0.1 + 0.2))).toBe(1);
});

// Deep-groove bearing 6205: 9 balls of 7.94 mm on 39.04 mm, outer race at 3.585 turns [from memory].
test("the outer race of a 6205 bearing is passed 3.585 times a turn [from memory]", () => {
  const bearing = { balls: 9, ballDiameter: 7.94, pitchDiameter: 39.04, contactDegrees: 0 };
  expect(Math.abs(answerOf(outerRaceFrequency(1, bearing)) - 3.585)).toBeLessThan(0.0006);
  expect(answerOf(outerRaceFrequency(40, bearing))).toBeCloseTo(40 * answerOf(outerRaceFrequency(1, bearing)), 9);
});

test("a beat of 0.25 Hz wants 4 s, and 1000 Hz want 2560 samples a second", () => {
  expect(answerOf(beatWindow(0.25))).toBe(4);
  expect(answerOf(leastSamplingRate(1000))).toBe(2560);
});

test("what cannot turn or sound has no number", () => {
  for (const bad of [Number.NaN, Number.POSITIVE_INFINITY, 0, -1]) {
    expect(codeOf(unbalanceForce(bad, 40))).toBe("not-positive");
    expect(codeOf(unbalanceForce(40, bad))).toBe("not-positive");
    expect(codeOf(crestFactor(bad, 1))).toBe("not-positive");
    expect(codeOf(crestFactor(1, bad))).toBe("not-positive");
    expect(codeOf(beatWindow(bad))).toBe("not-positive");
    expect(codeOf(leastSamplingRate(bad))).toBe("not-positive");
  }
  expect(codeOf(unbalanceForce(1e300, 1e-300))).toBe("not-finite");
  expect(codeOf(crestFactor(1e300, 1e-300))).toBe("not-finite");
  expect(codeOf(beatWindow(1e-310))).toBe("not-finite");
  expect(codeOf(leastSamplingRate(1e308))).toBe("not-finite");
  expect(codeOf(crestFactor(0.9, 1))).toBe("crest-out-of-range");
  const bearing = { balls: 9, ballDiameter: 8, pitchDiameter: 40, contactDegrees: 0 };
  expect(codeOf(outerRaceFrequency(0, bearing))).toBe("not-positive");
  expect(codeOf(outerRaceFrequency(1e308, bearing))).toBe("not-finite");
  for (const wrong of [{ balls: 2 }, { balls: 8.5 }, { ballDiameter: 41 }, { contactDegrees: 61 }]) {
    expect(codeOf(outerRaceFrequency(40, { ...bearing, ...wrong }))).toBe("bearing-out-of-range");
  }
  expect(codeOf(outerRaceFrequency(40, { ...bearing, ballDiameter: Number.NaN }))).toBe("not-positive");
});
