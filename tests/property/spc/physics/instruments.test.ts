import fc from "fast-check";
import { expect, test } from "vitest";
import { loopCurrent, loopReading } from "../../../../spc/physics/loop-current.ts";
import {
  lagError,
  settlingTime,
  shortfall,
  timeConstantOfStep,
  timeConstantOfT90,
} from "../../../../spc/physics/probe-lag.ts";
import { resistanceTolerance } from "../../../../spc/physics/resistance-thermometer.ts";
import { thermocoupleTolerance } from "../../../../spc/physics/thermocouple.ts";
import { toleranceShare } from "../../../../spc/physics/tolerance-share.ts";
import { answerOf } from "../../../reference/spc/physics/outcome.ts";
import { between, hostile } from "./numbers.ts";

const type = fc.constantFrom("B", "E", "J", "K", "N", "R", "S", "T");
const hot = between(-250, 1800);

test("a loop's value leads back to its current, and a value is only given where a transmitter measures", () => {
  const span = fc.tuple(between(-1e6, 1e6), between(-1e6, 1e6)).filter(([a, b]) => Math.abs(a - b) > 1e-3);
  fc.assert(
    fc.property(span, between(0, 25), ([at4, at20], milliamp) => {
      const reading = loopReading(milliamp, { at4, at20 });
      expect(reading.ok).toBe(milliamp > 3.8 && milliamp < 20.5);
      if (!reading.ok) return;
      const back = loopCurrent(reading.value, { at4, at20 });
      // A value at the very border may round to what a transmitter clips.
      if (!back.ok) expect(Math.min(milliamp - 3.8, 20.5 - milliamp)).toBeLessThan(1e-6);
      else expect(Math.abs(back.value - milliamp)).toBeLessThan(1e-5);
    }),
    { numRuns: 1000 },
  );
});

test("no current that is a fault is ever a number", () => {
  fc.assert(
    fc.property(hostile, hostile, (milliamp, at20) => {
      if (!Number.isFinite(at20) || at20 === 0) return;
      const reading = loopReading(milliamp, { at4: 0, at20 });
      if (!(milliamp > 3.6 && milliamp < 21)) expect(reading.ok).toBe(false);
      if (reading.ok) expect(Number.isFinite(reading.value)).toBe(true);
    }),
    { numRuns: 2000 },
  );
});

test("a tolerance never shrinks away from 0 Cel, and class 1 is never wider than class 2, nor special than standard", () => {
  fc.assert(
    fc.property(type, hot, between(0, 100), (one, t, step) => {
      for (const [finer, coarser] of [
        ["class-1", "class-2"],
        ["special", "standard"],
      ] as const) {
        const [fine, coarse] = [thermocoupleTolerance(one, finer, t), thermocoupleTolerance(one, coarser, t)];
        if (fine.ok && coarse.ok) expect(fine.value).toBeLessThanOrEqual(coarse.value);
        if (!fine.ok) continue;
        expect(fine.value).toBeGreaterThan(0);
        const further = thermocoupleTolerance(one, finer, t < 0 ? t - step : t + step);
        if (further.ok) expect(further.value).toBeGreaterThanOrEqual(fine.value);
      }
    }),
    { numRuns: 1000 },
  );
});

test("a better class of platinum thermometer is never wider", () => {
  fc.assert(
    fc.property(hot, fc.constantFrom("wire-wound", "film"), (t, kind) => {
      const found = (["AA", "A", "B", "C"] as const).map((grade) => resistanceTolerance(grade, kind, t));
      let last = 0;
      for (const outcome of found) {
        if (!outcome.ok) continue;
        expect(outcome.value).toBeGreaterThan(last);
        last = outcome.value;
      }
    }),
    { numRuns: 300 },
  );
});

test("the time constant that made a step is found in it, whatever its units and where its clock began", () => {
  const scale = fc.record({
    from: between(-100, 100),
    step: between(1, 2000),
    tau: between(0.5, 100),
    t0: between(0, 1e5),
  });
  fc.assert(
    fc.property(scale, fc.boolean(), ({ from, step, tau, t0 }, down) => {
      const to = down ? from - step : from + step;
      const readings = Array.from({ length: 60 }, (_, i) => {
        const seconds = i * tau * 0.1;
        return { seconds: t0 + seconds, value: to - (to - from) * Math.exp(-seconds / tau) };
      });
      expect(Math.abs(answerOf(timeConstantOfStep(readings, from, to)) / tau - 1)).toBeLessThan(1e-6);
      const left = answerOf(shortfall(to - from, tau, answerOf(settlingTime(to - from, tau, step / 50))));
      expect(Math.abs(Math.abs(left) / (step / 50) - 1)).toBeLessThan(1e-9);
    }),
    { numRuns: 300 },
  );
});

test("whatever comes in, a number that comes out is finite", () => {
  const readings = fc.array(fc.record({ seconds: hostile, value: hostile }), { maxLength: 12 });
  fc.assert(
    fc.property(type, hostile, hostile, hostile, readings, (one, a, b, c, some) => {
      for (const outcome of [
        thermocoupleTolerance(one, "class-2", a),
        thermocoupleTolerance(one, "class-3", a),
        resistanceTolerance("B", "film", a),
        toleranceShare(2.5, a, b),
        timeConstantOfT90(a),
        lagError(a, b),
        shortfall(a, b, c),
        settlingTime(a, b, c),
        timeConstantOfStep(some, a, b),
        timeConstantOfStep(some, 0, 1),
      ]) {
        if (outcome.ok) expect(Number.isFinite(outcome.value)).toBe(true);
      }
    }),
    { numRuns: 2000 },
  );
});
