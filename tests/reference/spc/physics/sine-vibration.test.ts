import { expect, test } from "vitest";
import {
  accelerationOfStroke,
  accelerationOfVelocity,
  peakOfSine,
  rmsOfSine,
  strokeOfSine,
  velocityOfSine,
} from "../../../../spc/physics/sine-vibration.ts";
import { answerOf, codeOf } from "./outcome.ts";

// Worked out apart from this code, printed to three and one decimals.
test.each([
  [30, [0.552, 0.662, 0.828, 1.104], 78.0],
  [40, [0.311, 0.373, 0.466, 0.621], 58.5],
  [50, [0.199, 0.238, 0.298, 0.397], 46.8],
  [60, [0.138, 0.166, 0.207, 0.276], 39.0],
] as const)("at %d Hz: strokes of 1.0, 1.2, 1.5 and 2.0 g peak, and the velocity of 1.5 g", (hz, strokes, velocity) => {
  [1, 1.2, 1.5, 2].forEach((g, i) => {
    expect(Math.abs(answerOf(strokeOfSine(g, hz)) - strokes[i]!)).toBeLessThanOrEqual(0.000501);
  });
  expect(Math.abs(answerOf(velocityOfSine(1.5, hz)) - velocity)).toBeLessThanOrEqual(0.0501);
});

test("1.5 g peak is 1.06 g RMS", () => {
  expect(answerOf(rmsOfSine(1.5)).toFixed(2)).toBe("1.06");
});

// ISO 8041 and makers of shakers calibrate at 159.155 Hz, 1000 rad/s, where 1 g is 9.80665 mm/s [from memory].
test("at 1000 rad/s, 1 g is 9.80665 mm/s and travels 0.0196133 mm [from memory]", () => {
  const hz = 1000 / (2 * Math.PI);
  expect(answerOf(velocityOfSine(1, hz))).toBeCloseTo(9.80665, 10);
  expect(answerOf(strokeOfSine(1, hz))).toBeCloseTo(0.0196133, 10);
});

const conversions = [velocityOfSine, accelerationOfVelocity, strokeOfSine, accelerationOfStroke];

test("nothing is computed below 0, of no number, at no frequency", () => {
  for (const bad of [Number.NaN, Number.POSITIVE_INFINITY, -1e-9, 1e300]) {
    for (const convert of conversions) {
      expect(codeOf(convert(bad, 40))).toBe("amplitude-out-of-range");
      expect(codeOf(convert(1, bad))).toBe("frequency-out-of-range");
    }
    expect(codeOf(rmsOfSine(bad))).toBe("amplitude-out-of-range");
    expect(codeOf(peakOfSine(bad))).toBe("amplitude-out-of-range");
  }
  for (const convert of conversions) expect(codeOf(convert(1, 0))).toBe("frequency-out-of-range");
});
