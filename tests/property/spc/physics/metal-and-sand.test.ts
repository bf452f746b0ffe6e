import fc from "fast-check";
import { expect, test } from "vitest";
import { carbonEquivalent, type IronChemistry } from "../../../../spc/physics/carbon-equivalent.ts";
import { aluminiumLiquidus, siliconEquivalent } from "../../../../spc/physics/liquidus-aluminium.ts";
import { ironLiquidus, ironLiquidusFormulas } from "../../../../spc/physics/liquidus-iron.ts";
import { metalHead, metalVelocity } from "../../../../spc/physics/metal-flow.ts";
import { bulkDensityOfPorosity, porosity, relativeDensity } from "../../../../spc/physics/sand.ts";
import { standardPressure } from "../../../../spc/physics/site-pressure.ts";
import { foamCooling, superheat } from "../../../../spc/physics/superheat.ts";
import {
  coatingOnArea,
  densityIndex,
  densityOf,
  moistureOfWet,
  pentaneLeft,
  waterOfDryCoat,
} from "../../../../spc/physics/weighed.ts";
import { answerOf } from "../../../reference/spc/physics/outcome.ts";
import { between, hostile } from "./numbers.ts";

const iron: fc.Arbitrary<IronChemistry> = fc.record({
  c: between(2.1, 4.5),
  si: between(0.5, 4.5),
  mn: between(0, 1.5),
  p: between(0, 0.5),
  s: between(0, 0.2),
  ni: between(0, 2),
  cr: between(0, 1),
});
const formula = fc.constantFrom(...ironLiquidusFormulas);

test("more carbon freezes lower, until the iron is hypereutectic by C + Si/3 above 4.3 and nothing is said", () => {
  fc.assert(
    fc.property(iron, formula, between(0.01, 0.5), (one, name, more) => {
      const here = ironLiquidus(one, name);
      const equivalent = answerOf(carbonEquivalent(one, "solubility"));
      expect(here.ok).toBe(!(equivalent > 4.3));
      if (!here.ok) return;
      expect(here.value.formula).toBe(name);
      expect(here.value.cel).toBeGreaterThan(1080);
      expect(here.value.cel).toBeLessThan(1450);
      const richer = ironLiquidus({ ...one, c: one.c + more }, name);
      if (richer.ok) expect(richer.value.cel).toBeLessThan(here.value.cel);
    }),
    { numRuns: 500 },
  );
});

test("whatever is added to aluminium freezes it lower, and the silicon equivalent alone says how far", () => {
  const alloy = fc.record({
    si: between(0, 12),
    cu: between(0, 5),
    mg: between(0, 1),
    fe: between(0, 1.5),
    zn: between(0, 3),
  });
  fc.assert(
    fc.property(alloy, between(0.01, 0.5), (one, more) => {
      const equivalent = answerOf(siliconEquivalent(one));
      expect(equivalent).toBeGreaterThanOrEqual(one.si - 1e-12);
      const here = aluminiumLiquidus(one);
      if (!here.ok) {
        expect(equivalent).toBeGreaterThan(12);
        return;
      }
      expect(here.value.cel).toBeGreaterThan(570);
      const alone = aluminiumLiquidus({ si: Math.min(12, equivalent) });
      expect(Math.abs(answerOf(alone).cel - here.value.cel)).toBeLessThan(1e-9);
      const richer = aluminiumLiquidus({ ...one, cu: one.cu + more });
      if (richer.ok) expect(richer.value.cel).toBeLessThan(here.value.cel);
      expect(answerOf(superheat(750, here))).toBeCloseTo(750 - here.value.cel, 9);
    }),
    { numRuns: 500 },
  );
});

test("porosity and bulk density lead back to each other, and denser sand has less of it", () => {
  fc.assert(
    fc.property(between(1000, 1900), between(2000, 4500), between(1, 90), (bulk, grain, more) => {
      const share = answerOf(porosity(bulk, grain));
      expect(Math.abs(answerOf(bulkDensityOfPorosity(share, grain)) - bulk)).toBeLessThan(1e-9);
      expect(answerOf(porosity(bulk + more, grain))).toBeLessThan(share);
    }),
    { numRuns: 300 },
  );
});

test("relative density runs from 0 to 1 and never back", () => {
  fc.assert(
    fc.property(between(0, 1), between(0, 1), (a, b) => {
      const at = (share: number): number => answerOf(relativeDensity(1450 + 250 * share, 1450, 1700));
      expect(at(0)).toBe(0);
      expect(at(1)).toBe(1);
      expect(at(Math.max(a, b))).toBeGreaterThanOrEqual(at(Math.min(a, b)));
    }),
    { numRuns: 200 },
  );
});

test("higher sites have thinner air", () => {
  fc.assert(
    fc.property(between(-400, 4900), between(1, 100), (altitude, more) => {
      expect(answerOf(standardPressure(altitude + more))).toBeLessThan(answerOf(standardPressure(altitude)));
    }),
    { numRuns: 200 },
  );
});

test("whatever comes in, a number that comes out is finite", () => {
  fc.assert(
    fc.property(hostile, hostile, hostile, hostile, formula, (a, b, c, d, name) => {
      for (const outcome of [
        carbonEquivalent({ c: a, si: b, mn: c, p: d }, "liquidus-2020"),
        siliconEquivalent({ si: a, cu: b, mg: c, fe: d }),
        porosity(a, b),
        bulkDensityOfPorosity(a, b),
        relativeDensity(a, b, c),
        standardPressure(a),
        foamCooling(a, b, c, d),
        metalHead(a, b),
        metalVelocity(a, b, c),
        superheat(a, ironLiquidus({ c: 3.4, si: 2 }, name)),
        densityOf(a, b),
        coatingOnArea(a, b, c),
        moistureOfWet(a, b),
        waterOfDryCoat(a, b, c),
        densityIndex(a, b),
        pentaneLeft(a, b, c),
      ]) {
        if (outcome.ok) expect(Number.isFinite(outcome.value)).toBe(true);
      }
      const metal = ironLiquidus({ c: a, si: b }, name);
      if (metal.ok) expect(Number.isFinite(metal.value.cel)).toBe(true);
    }),
    { numRuns: 2000 },
  );
});
