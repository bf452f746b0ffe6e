import { expect, test } from "vitest";
import { carbonEquivalent, hypoeutectic } from "../../../../spc/physics/carbon-equivalent.ts";
import { ironLiquidus, ironLiquidusFormulas } from "../../../../spc/physics/liquidus-iron.ts";
import { answerOf, codeOf } from "./outcome.ts";

// Worked out apart from this code from the formulas in the abstract of Koriyama, Kanno, Iwami and Kang, Int. J.
// Metalcasting (2020).
const grey = { c: 3.4, si: 2, mn: 0.7, p: 0.05, s: 0.08 };

test("grey iron of 3.40 C, 2.00 Si, 0.70 Mn, 0.05 P, 0.08 S freezes from 1195.7 Cel by Koriyama et al. (2020)", () => {
  const found = answerOf(ironLiquidus(grey, "koriyama-2020"));
  expect(Math.abs(found.cel - 1195.7)).toBeLessThanOrEqual(0.0501);
  expect(found.formula).toBe("koriyama-2020");
  expect(found.source).toContain("Koriyama");
  expect(found.notAnalysed).toEqual(["Ni", "Cr"]);
  expect(found.nearEutectic).toBe(false);
});

test("its carbon equivalents are 4.067 by solubility and 3.906 by the liquidus of 2020", () => {
  expect(answerOf(carbonEquivalent(grey, "solubility")).toFixed(3)).toBe("4.067");
  expect(answerOf(carbonEquivalent(grey, "liquidus-2020")).toFixed(3)).toBe("3.906");
  // The abstract divides its formula by the coefficient of carbon: rounded, the two are one.
  const byCarbon = (1625 - answerOf(ironLiquidus(grey, "koriyama-2020")).cel) / 110;
  expect(Math.abs(byCarbon - 3.906)).toBeLessThan(0.005);
});

// Worked out apart from this code: 13 to 15 K on two typical grey irons, of which this is one.
test("the older form lies 13 to 15 K lower, and says its name [older form from memory]", () => {
  const older = answerOf(ironLiquidus(grey, "older-1669"));
  const below = answerOf(ironLiquidus(grey, "koriyama-2020")).cel - older.cel;
  expect(below).toBeGreaterThan(12.95);
  expect(below).toBeLessThan(15.05);
  expect(older.formula).toBe("older-1669");
  expect(older.source).toContain("memory");
  expect(older.notAnalysed).toEqual([]);
  expect(answerOf(carbonEquivalent(grey, "liquidus-older"))).toBeCloseTo(3.4 + 0.5 + 0.025, 12);
});

test("ductile iron of 3.60 C and 2.50 Si is hypereutectic: it has no liquidus of austenite by any formula", () => {
  for (const formula of ironLiquidusFormulas) {
    const outcome = ironLiquidus({ c: 3.6, si: 2.5 }, formula);
    expect(codeOf(outcome)).toBe("hypereutectic");
    if (!outcome.ok) expect(outcome.refusal.has).toBeCloseTo(4.433, 3);
  }
});

test("from 4.2 % by solubility, the eutectic of Stefanescu (2021), to 4.3 % the number says that it is near", () => {
  expect(answerOf(hypoeutectic({ c: 3.5, si: 2.09 })).nearEutectic).toBe(false);
  expect(answerOf(hypoeutectic({ c: 3.5, si: 2.11 })).nearEutectic).toBe(true);
  expect(answerOf(hypoeutectic({ c: 3.5, si: 2.39 })).nearEutectic).toBe(true);
  expect(codeOf(hypoeutectic({ c: 3.5, si: 2.41 }))).toBe("hypereutectic");
});

test("an element that was not analysed counts as none and is named", () => {
  const short = answerOf(ironLiquidus({ c: 3.4, si: 2 }, "koriyama-2020"));
  expect(short.notAnalysed).toEqual(["Mn", "P", "S", "Ni", "Cr"]);
  const zero = answerOf(ironLiquidus({ c: 3.4, si: 2, mn: 0, p: 0, s: 0, ni: 0, cr: 0 }, "koriyama-2020"));
  expect(zero.notAnalysed).toEqual([]);
  expect(zero.cel).toBe(short.cel);
});

test("steel, pig iron and numbers that are none are no cast iron", () => {
  for (const bad of [Number.NaN, Number.POSITIVE_INFINITY, -1, 1e300]) {
    for (const element of ["c", "si", "mn", "p", "s", "ni", "cr"]) {
      expect(codeOf(ironLiquidus({ ...grey, [element]: bad }, "koriyama-2020"))).toBe("composition-out-of-range");
      expect(codeOf(carbonEquivalent({ ...grey, [element]: bad }, "solubility"))).toBe("composition-out-of-range");
    }
  }
  expect(codeOf(ironLiquidus({ ...grey, c: 2 }, "older-1669"))).toBe("composition-out-of-range");
});
