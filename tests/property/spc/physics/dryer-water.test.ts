import fc from "fast-check";
import { expect, test } from "vitest";
import { type DryingStep, waterBalance, waterRate } from "../../../../spc/physics/dryer-water.ts";
import { answerOf } from "../../../reference/spc/physics/outcome.ts";
import { between, hostile } from "./numbers.ts";

const step: fc.Arbitrary<DryingStep> = fc.record({
  seconds: between(1, 10_000),
  airKgS: between(0.1, 5),
  returnGkg: between(6, 60),
  supplyGkg: between(0, 5.5),
});
const exact = { airShare: 0, differenceGkg: 0 };

test("a load cut anywhere, or its steps in any order, balances the same", () => {
  fc.assert(
    fc.property(fc.array(step, { minLength: 1, maxLength: 20 }), between(0.01, 0.99), (steps, share) => {
      const whole = answerOf(waterBalance(steps, exact));
      const [first, ...rest] = steps as [DryingStep, ...DryingStep[]];
      const cut = [
        ...rest.reverse(),
        { ...first, seconds: share * first.seconds },
        { ...first, seconds: (1 - share) * first.seconds },
      ];
      const again = answerOf(waterBalance(cut, exact));
      expect(Math.abs(again.waterKg / whole.waterKg - 1)).toBeLessThan(1e-12);
      expect(Math.abs(again.airKg / whole.airKg - 1)).toBeLessThan(1e-12);
    }),
    { numRuns: 200 },
  );
});

test("a balance that is given is known to 15 %, and larger errors never give one that smaller ones did not", () => {
  fc.assert(
    fc.property(
      fc.array(step, { minLength: 1, maxLength: 5 }),
      between(0, 0.3),
      between(0, 3),
      between(0, 1),
      (steps, airShare, differenceGkg, more) => {
        const fine = waterBalance(steps, { airShare, differenceGkg });
        const coarse = waterBalance(steps, { airShare: airShare + more, differenceGkg: differenceGkg + more });
        if (!fine.ok) {
          expect(fine.refusal.code).toBe("not-resolvable");
          expect(coarse.ok).toBe(false);
          return;
        }
        const { waterKg, plusMinusKg } = fine.value;
        expect(plusMinusKg).toBeLessThanOrEqual(0.15 * waterKg * (1 + 1e-9));
        if (coarse.ok) expect(coarse.value.plusMinusKg).toBeGreaterThanOrEqual(plusMinusKg);
      },
    ),
    { numRuns: 300 },
  );
});

test("whatever comes in, a number that comes out is finite", () => {
  fc.assert(
    fc.property(hostile, hostile, hostile, hostile, between(0, 1e3), (seconds, airKgS, returnGkg, supplyGkg, error) => {
      const rate = waterRate(airKgS, returnGkg, supplyGkg);
      if (rate.ok) expect(Number.isFinite(rate.value)).toBe(true);
      const balance = waterBalance([{ seconds, airKgS, returnGkg, supplyGkg }], { airShare: 0, differenceGkg: error });
      if (balance.ok) for (const value of Object.values(balance.value)) expect(Number.isFinite(value)).toBe(true);
    }),
    { numRuns: 2000 },
  );
});
