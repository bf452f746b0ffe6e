import fc from "fast-check";
import { expect, test } from "vitest";
import { reduceWaveform } from "../../../../spc/vibration/reduce.ts";

/** Blocks as a converter gives them: 16-bit counts of any shape, some of them flat or clipped. */
const count = fc.integer({ min: -32_768, max: 32_767 });
const counts: fc.Arbitrary<readonly number[]> = fc.oneof(
  fc.array(count, { minLength: 64, maxLength: 400, size: "max" }),
  fc.tuple(count, fc.integer({ min: 64, max: 400 })).map(([c, n]) => Array.from({ length: n }, () => c)),
  fc.array(fc.constantFrom(-32_768, 0, 32_767), { minLength: 64, maxLength: 400, size: "max" }),
);

test("every measure of any block is finite or null", () => {
  const rate = fc.constantFrom(100, 512, 2048, 25_600);
  fc.assert(
    fc.property(counts, fc.constantFrom(1e-4, 1e-3, 1), rate, (block, scale, rateHz) => {
      const outcome = reduceWaveform(
        Float64Array.from(block, (one) => one * scale),
        rateHz,
      );
      if (!outcome.ok) throw new Error(outcome.refusal.detail);
      for (const value of Object.values(outcome.value)) expect(value === null || Number.isFinite(value)).toBe(true);
      const { rms, peak, hf, f1 } = outcome.value;
      expect(rms).toBeGreaterThanOrEqual(0);
      expect(peak).toBeGreaterThanOrEqual(0);
      // The window weighs the middle of a block more than its ends, at most by 1 over its mean square, 8 / 3.
      if (hf !== null) expect(hf).toBeLessThanOrEqual(rms * Math.sqrt(8 / 3) * 1.0001 + 1e-9 * scale);
      if (f1 !== null) expect(f1).toBeLessThanOrEqual(rateHz / 2);
    }),
    { numRuns: 300 },
  );
});

test("twice the signal gives twice each level, and the same frequency", () => {
  fc.assert(
    fc.property(counts, (block) => {
      const once = reduceWaveform(Float64Array.from(block), 512);
      const twice = reduceWaveform(
        Float64Array.from(block, (one) => 2 * one),
        512,
      );
      if (!once.ok || !twice.ok) throw new Error("refused");
      expect(twice.value.f1 === null).toBe(once.value.f1 === null);
      if (once.value.f1 !== null) expect(Math.abs(twice.value.f1! - once.value.f1)).toBeLessThan(1e-6);
      for (const measure of ["rms", "peak", "dc"] as const) {
        expect(twice.value[measure]).toBeCloseTo(2 * once.value[measure], 6);
      }
    }),
    { numRuns: 200 },
  );
});

test("a block is reduced alike whatever was reduced before it", () => {
  fc.assert(
    fc.property(counts, counts, (one, other) => {
      const block = Float64Array.from(one);
      const alone = reduceWaveform(block, 2048);
      reduceWaveform(Float64Array.from(other), 2048);
      expect(reduceWaveform(block, 2048)).toEqual(alone);
    }),
    { numRuns: 200 },
  );
});
