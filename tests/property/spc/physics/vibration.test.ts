import fc from "fast-check";
import { expect, test } from "vitest";
import { bandRms, type LineSpectrum } from "../../../../spc/physics/band-rms.ts";
import {
  beatWindow,
  crestFactor,
  leastSamplingRate,
  outerRaceFrequency,
  unbalanceForce,
} from "../../../../spc/physics/rotating.ts";
import {
  accelerationOfStroke,
  accelerationOfVelocity,
  peakOfSine,
  rmsOfSine,
  strokeOfSine,
  velocityOfSine,
} from "../../../../spc/physics/sine-vibration.ts";
import { answerOf } from "../../../reference/spc/physics/outcome.ts";
import { between, hostile } from "./numbers.ts";

test("acceleration, velocity and stroke lead back to each other, peak and RMS too", () => {
  fc.assert(
    fc.property(between(0, 50), between(0.1, 20_000), (g, hz) => {
      const close = (found: number): void => expect(Math.abs(found - g)).toBeLessThanOrEqual(1e-12 * g + 1e-300);
      close(answerOf(accelerationOfVelocity(answerOf(velocityOfSine(g, hz)), hz)));
      close(answerOf(accelerationOfStroke(answerOf(strokeOfSine(g, hz)), hz)));
      close(answerOf(peakOfSine(answerOf(rmsOfSine(g)))));
    }),
    { numRuns: 500 },
  );
});

test("at a higher frequency the same acceleration is less velocity and still less stroke", () => {
  fc.assert(
    fc.property(between(0.01, 50), between(0.1, 5000), between(1.01, 4), (g, hz, times) => {
      const velocity = answerOf(velocityOfSine(g, hz)) / answerOf(velocityOfSine(g, times * hz));
      const stroke = answerOf(strokeOfSine(g, hz)) / answerOf(strokeOfSine(g, times * hz));
      expect(Math.abs(velocity / times - 1)).toBeLessThan(1e-12);
      expect(Math.abs(stroke / times ** 2 - 1)).toBeLessThan(1e-12);
    }),
    { numRuns: 300 },
  );
});

const lines = fc.array(between(0, 100), { minLength: 12, maxLength: 200 });
const kind = fc.constantFrom("peak", "rms", "density") satisfies fc.Arbitrary<LineSpectrum["of"]>;

test("two bands side by side hold what the whole holds, and a wider band never less", () => {
  fc.assert(
    fc.property(lines, kind, between(1, 4), between(0.01, 100), (all, of, noiseBandwidth, lineHz) => {
      const spectrum: LineSpectrum = { lineHz, lines: all, of, noiseBandwidth };
      const last = all.length - 1;
      const middle = Math.floor(last / 2);
      const band = (from: number, to: number): number => answerOf(bandRms(spectrum, from * lineHz, to * lineHz));
      const whole = band(1, last);
      const parts = Math.hypot(band(1, middle), band(middle + 1, last));
      expect(Math.abs(parts - whole)).toBeLessThanOrEqual(1e-9 * whole + 1e-150);
      expect(band(1, middle)).toBeLessThanOrEqual(whole * (1 + 1e-12) + 1e-150);
    }),
    { numRuns: 300 },
  );
});

test("whatever comes in, a number that comes out is finite and not below 0", () => {
  fc.assert(
    fc.property(hostile, hostile, hostile, fc.array(hostile, { maxLength: 20 }), kind, (a, b, c, some, of) => {
      const bearing = { balls: a, ballDiameter: b, pitchDiameter: c, contactDegrees: a };
      for (const outcome of [
        rmsOfSine(a),
        peakOfSine(a),
        velocityOfSine(a, b),
        accelerationOfVelocity(a, b),
        strokeOfSine(a, b),
        accelerationOfStroke(a, b),
        unbalanceForce(a, b),
        crestFactor(a, b),
        beatWindow(a),
        leastSamplingRate(a),
        outerRaceFrequency(a, bearing),
        bandRms({ lineHz: 1, lines: some, of, noiseBandwidth: 1 }, a, b),
        bandRms({ lineHz: 1, lines: some, of, noiseBandwidth: 1 }, 1, some.length - 1),
      ]) {
        if (outcome.ok) expect(outcome.value >= 0 && outcome.value < Infinity).toBe(true);
      }
    }),
    { numRuns: 2000 },
  );
});
