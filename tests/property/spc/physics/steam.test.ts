import fc from "fast-check";
import { expect, test } from "vitest";
import { airInSteam, mixtureTemperature, saturationMismatch } from "../../../../spc/physics/air-in-steam.ts";
import { steamPressure, steamTemperature } from "../../../../spc/physics/steam.ts";
import { steamSlope } from "../../../../spc/physics/steam-slope.ts";
import { answerOf } from "../../../reference/spc/physics/outcome.ts";
import { between, hostile } from "./numbers.ts";

test("the saturation line leads back to itself and always rises", () => {
  fc.assert(
    fc.property(between(273.15, 647), between(0.01, 50), (t, step) => {
      const p = answerOf(steamPressure(t));
      expect(Math.abs(answerOf(steamTemperature(p)) - t)).toBeLessThan(1e-6);
      const hotter = steamPressure(t + step);
      if (hotter.ok) expect(hotter.value).toBeGreaterThan(p);
      expect(answerOf(steamSlope(p))).toBeGreaterThan(0);
    }),
    { numRuns: 500 },
  );
});

test("air that was mixed in is found again, and more air is always colder", () => {
  fc.assert(
    fc.property(between(0.5, 10), between(0.01, 60), between(0.1, 20), (bar, air, more) => {
      const t = answerOf(mixtureTemperature(bar, air));
      const found = answerOf(airInSteam(t, bar, 0));
      expect(Math.abs(found.airMolPercent - air)).toBeLessThan(1e-6);
      expect(found.airMassPercent).toBeGreaterThan(found.airMolPercent);
      expect(answerOf(mixtureTemperature(bar, air + more))).toBeLessThan(t);
    }),
    { numRuns: 500 },
  );
});

test("a thermometer that errs more makes more air of nothing, and never more certainty", () => {
  fc.assert(
    fc.property(between(0.5, 10), between(5, 40), between(0.01, 2), between(0.01, 2), (bar, air, k, more) => {
      const t = answerOf(mixtureTemperature(bar, air));
      const [fine, coarse] = [airInSteam(t, bar, k), airInSteam(t, bar, k + more)];
      if (!fine.ok) expect(coarse.ok).toBe(false);
      if (fine.ok && coarse.ok) {
        expect(coarse.value.airMolPercent).toBe(fine.value.airMolPercent);
        expect(coarse.value.plusMinusMolPercent).toBeGreaterThan(fine.value.plusMinusMolPercent);
        expect(fine.value.airMolPercent).toBeGreaterThanOrEqual(fine.value.plusMinusMolPercent);
      }
    }),
    { numRuns: 300 },
  );
});

test("a mismatch of temperature is 1 K more where the thermometer reads 1 K more, at any gauge and any air outside", () => {
  fc.assert(
    fc.property(between(50, 250), between(-0.3, 10), between(600, 1100), (t, gauge, ambient) => {
      const [cool, warm] = [saturationMismatch(t, gauge, ambient), saturationMismatch(t + 1, gauge, ambient)];
      expect(cool.ok).toBe(warm.ok);
      if (cool.ok && warm.ok) expect(Math.abs(warm.value - cool.value - 1)).toBeLessThan(1e-9);
    }),
    { numRuns: 300 },
  );
});

test("whatever comes in, a number that comes out is finite, and a share is one", () => {
  fc.assert(
    fc.property(hostile, hostile, hostile, between(0, 10), (a, b, c, toleranceK) => {
      for (const outcome of [saturationMismatch(a, b, c), mixtureTemperature(a, b), steamSlope(a)]) {
        if (outcome.ok) expect(Number.isFinite(outcome.value)).toBe(true);
      }
      const found = airInSteam(a, b, toleranceK);
      if (!found.ok) return;
      for (const value of Object.values(found.value)) expect(value >= 0 && value < Infinity).toBe(true);
      expect(found.value.airMolPercent).toBeLessThanOrEqual(100);
      expect(found.value.airMassPercent).toBeLessThanOrEqual(100);
    }),
    { numRuns: 2000 },
  );
});
