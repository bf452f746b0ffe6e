import { expect, test } from "vitest";
import { aluminiumLiquidus } from "../../../../spc/physics/liquidus-aluminium.ts";
import { ironLiquidus } from "../../../../spc/physics/liquidus-iron.ts";
import { foamCooling, superheat } from "../../../../spc/physics/superheat.ts";
import { answerOf, codeOf } from "./outcome.ts";

const grey = ironLiquidus({ c: 3.4, si: 2, mn: 0.7, p: 0.05, s: 0.08 }, "koriyama-2020");

test("superheat is what is above the liquidus, for aluminium some 120 to 185 K and for iron 180 to 280 K", () => {
  const alloy = aluminiumLiquidus({ si: 7, mg: 0.3 });
  for (const t of [735, 797]) {
    expect(answerOf(superheat(t, alloy))).toBeGreaterThan(119);
    expect(answerOf(superheat(t, alloy))).toBeLessThan(186);
  }
  expect(answerOf(superheat(1420, grey))).toBeCloseTo(1420 - 1195.7, 0);
});

test("hypereutectic iron has no superheat, however hot it is", () => {
  expect(codeOf(superheat(1420, ironLiquidus({ c: 3.6, si: 2.5 }, "older-1669")))).toBe("hypereutectic");
});

// Worked out apart from this code with 20 g/L, 1.0 and 3.6 MJ/kg; liquid aluminium 2380 kg/m3 and 1080 J/(kg K), liquid
// iron 6900 kg/m3 and 850 J/(kg K), all from memory.
test("foam of 20 g/L cools aluminium by 8 to 28 K and iron by 3 to 12 K [all inputs from memory]", () => {
  expect(answerOf(foamCooling(20, 1, 2380, 1080)).toFixed(0)).toBe("8");
  expect(answerOf(foamCooling(20, 3.6, 2380, 1080)).toFixed(0)).toBe("28");
  expect(answerOf(foamCooling(20, 1, 6900, 850)).toFixed(0)).toBe("3");
  expect(answerOf(foamCooling(20, 3.6, 6900, 850)).toFixed(0)).toBe("12");
});

test("what is outside the estimates is refused", () => {
  for (const bad of [Number.NaN, Number.POSITIVE_INFINITY, -1, 1e300]) {
    expect(codeOf(superheat(bad, grey))).toBe("temperature-out-of-range");
    expect(codeOf(foamCooling(bad, 1, 2380, 1080))).toBe("density-out-of-range");
    expect(codeOf(foamCooling(20, bad, 2380, 1080))).toBe("heat-out-of-range");
    expect(codeOf(foamCooling(20, 1, bad, 1080))).toBe("density-out-of-range");
    expect(codeOf(foamCooling(20, 1, 2380, bad))).toBe("heat-out-of-range");
  }
});
