import { expect, test } from "vitest";
import { aluminiumLiquidus, siliconEquivalent } from "../../../../spc/physics/liquidus-aluminium.ts";
import { answerOf, codeOf } from "./outcome.ts";

// Worked out apart from this code; the coefficients are from memory, the method from the abstract of Djurdjevic et al. (2013).
test("silicon of 7 % alone freezes from 614.9 Cel, AlSi7Mg0.3 from some 613 [coefficients from memory]", () => {
  expect(Math.abs(answerOf(aluminiumLiquidus({ si: 7 })).cel - 614.9)).toBeLessThanOrEqual(0.0501);
  expect(answerOf(aluminiumLiquidus({ si: 7, mg: 0.3 })).cel.toFixed(0)).toBe("613");
});

test("AlSi6Cu3.5 freezes from some 610 Cel [coefficients from memory]", () => {
  expect(answerOf(aluminiumLiquidus({ si: 6, cu: 3.5 })).cel.toFixed(0)).toBe("610");
});

// Murray and McAlister, the Al-Si system: eutectic at 577 Cel; Djurdjevic et al. (2013) quote 12.3 % Si for it.
test("the line of aluminium and silicon would meet the eutectic's 577 Cel at 12.3 %, and is refused from 12 %", () => {
  const line = (si: number): number => 660.452 - 6.11 * si - 0.057 * si * si;
  expect(Math.abs(line(12.3) - 576.7)).toBeLessThanOrEqual(0.0501);
  expect(answerOf(aluminiumLiquidus({ si: 12 })).cel).toBeCloseTo(line(12), 9);
  expect(codeOf(aluminiumLiquidus({ si: 12.3 }))).toBe("composition-out-of-range");
});

// ITS-90 fixes the freezing point of aluminium at 660.323 Cel; phase diagrams kept the 660.452 Cel of an older scale.
test("pure aluminium melts where ITS-90 fixes it, to 0.13 K [from memory]", () => {
  expect(Math.abs(answerOf(aluminiumLiquidus({ si: 0 })).cel - 660.323)).toBeLessThan(0.1301);
});

test("copper does as much as silicon of its own, and together they may pass the eutectic", () => {
  expect(answerOf(siliconEquivalent({ si: 9 }))).toBeCloseTo(9, 12);
  const equivalent = answerOf(siliconEquivalent({ si: 9, cu: 3 }));
  expect(660.452 - 6.11 * equivalent - 0.057 * equivalent ** 2).toBeCloseTo(
    answerOf(aluminiumLiquidus({ si: 9, cu: 3 })).cel,
    10,
  );
  expect(codeOf(aluminiumLiquidus({ si: 11.5, cu: 2 }))).toBe("hypereutectic");
});

test("the answer says what it used, how far it may be off and what nobody analysed", () => {
  const found = answerOf(aluminiumLiquidus({ si: 7, mg: 0.3 }));
  expect(found.formula).toBe("silicon-equivalent");
  expect(found.source).toContain("memory");
  expect(found.plusMinusK).toBe(6);
  expect(found.notAnalysed).toEqual(["Cu", "Fe", "Zn"]);
});

test("other alloys and numbers that are none are refused", () => {
  for (const bad of [Number.NaN, Number.POSITIVE_INFINITY, -0.1, 1e300]) {
    for (const element of ["si", "cu", "mg", "fe", "zn"]) {
      expect(codeOf(aluminiumLiquidus({ si: 7, [element]: bad }))).toBe("composition-out-of-range");
      expect(codeOf(siliconEquivalent({ si: 7, [element]: bad }))).toBe("composition-out-of-range");
    }
  }
});
