import fc from "fast-check";
import { expect, test } from "vitest";
import { dryAirOfVolume } from "../../../../spc/physics/dry-air.ts";
import { mixingRatio, mixingRatioOfVapour, vapourOfMixingRatio } from "../../../../spc/physics/mixing-ratio.ts";
import {
  dewPointOfVapour,
  relativeOfVapour,
  saturationOverWater,
  vapourOfRelative,
} from "../../../../spc/physics/moist-air.ts";
import { frostPoint } from "../../../../spc/physics/over-ice.ts";
import { differenceError, type ProbePair } from "../../../../spc/physics/probe-pair.ts";
import { answerOf } from "../../../reference/spc/physics/outcome.ts";
import { between, hostile } from "./numbers.ts";

const temperature = between(-45, 100);
const percent = between(0, 100);
const pressure = between(500, 1100);

test("relative humidity, vapour pressure and mixing ratio lead back to each other", () => {
  fc.assert(
    fc.property(temperature, percent, pressure, (t, rh, p) => {
      const vapour = answerOf(vapourOfRelative(t, rh));
      expect(Math.abs(answerOf(relativeOfVapour(t, vapour)) - rh)).toBeLessThanOrEqual(1e-11 * rh + 1e-300);
      if (vapour >= 0.9 * p) return;
      const ratio = answerOf(mixingRatioOfVapour(vapour, p));
      expect(Math.abs(answerOf(vapourOfMixingRatio(ratio, p)) - vapour)).toBeLessThanOrEqual(1e-12 * p);
      expect(answerOf(mixingRatio(t, rh, p))).toBe(ratio);
    }),
    { numRuns: 500 },
  );
});

test("the dew point of saturated air is its temperature, but for 0.06 K at the seam of the formulas", () => {
  fc.assert(
    fc.property(temperature, (t) => {
      const off = Math.abs(answerOf(dewPointOfVapour(answerOf(saturationOverWater(t)))) - t);
      expect(off).toBeLessThan(t > 60 && t < 60.06 ? 0.06 : 1e-6);
    }),
    { numRuns: 1000 },
  );
});

test("warmer air holds more, wetter air has the higher dew point and the larger ratio", () => {
  fc.assert(
    fc.property(temperature, between(0.1, 10), percent, pressure, (t, step, rh, p) => {
      const warmer = saturationOverWater(t + step);
      if (warmer.ok) expect(warmer.value).toBeGreaterThan(answerOf(saturationOverWater(t)));
      const [dry, wet] = [vapourOfRelative(t, rh), vapourOfRelative(t, rh + step)];
      if (!dry.ok || !wet.ok) return;
      const [low, high] = [dewPointOfVapour(dry.value), dewPointOfVapour(wet.value)];
      if (low.ok && high.ok) expect(high.value).toBeGreaterThan(low.value);
      if (low.ok) expect(low.value).toBeLessThanOrEqual(t + 1e-6);
      const [less, more] = [mixingRatioOfVapour(dry.value, p), mixingRatioOfVapour(wet.value, p)];
      if (less.ok && more.ok) expect(more.value).toBeGreaterThan(less.value);
    }),
    { numRuns: 500 },
  );
});

test("whatever comes in, a number that comes out is finite and none is below 0 that cannot be", () => {
  fc.assert(
    fc.property(hostile, hostile, hostile, hostile, (a, b, c, d) => {
      for (const outcome of [
        saturationOverWater(a),
        vapourOfRelative(a, b),
        relativeOfVapour(a, b),
        mixingRatioOfVapour(a, b),
        vapourOfMixingRatio(a, b),
        mixingRatio(a, b, c),
        dryAirOfVolume(a, b, c, d),
      ]) {
        if (!outcome.ok) continue;
        expect(Number.isFinite(outcome.value)).toBe(true);
        expect(outcome.value).toBeGreaterThanOrEqual(0);
      }
      const dew = dewPointOfVapour(a);
      if (dew.ok) expect(dew.value).toBeGreaterThan(-45.01);
      const frost = frostPoint(a);
      if (frost.ok) expect(frost.value >= -65.01 && frost.value <= 0).toBe(true);
    }),
    { numRuns: 2000 },
  );
});

test("worse probes never resolve more, and two of a kind are worse than a matched pair", () => {
  const air = fc.record({ tCel: between(-20, 90), rhPercent: between(1, 60), pressureHpa: between(800, 1100) });
  fc.assert(
    fc.property(air, between(0, 5), between(0, 2), between(0, 3), (state, rhPercent, temperatureK, more) => {
      const errorOf = (pair: ProbePair): number => answerOf(differenceError(pair, state));
      const matched = errorOf({ kind: "matched", rhPercent, temperatureK });
      expect(errorOf({ kind: "matched", rhPercent: rhPercent + more, temperatureK })).toBeGreaterThanOrEqual(matched);
      expect(errorOf({ kind: "matched", rhPercent, temperatureK: temperatureK + more })).toBeGreaterThanOrEqual(
        matched,
      );
      const independent = errorOf({ kind: "independent", rhPercent, temperatureK });
      expect(Math.abs(independent - Math.SQRT2 * matched)).toBeLessThanOrEqual(1e-12 * independent);
    }),
    { numRuns: 300 },
  );
});
