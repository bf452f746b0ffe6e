import { expect, test } from "vitest";
import { metalHead, metalVelocity } from "../../../../spc/physics/metal-flow.ts";
import { answerOf, codeOf } from "./outcome.ts";

test("0.3 m of aluminium stand with 7.0 kPa on the wall, of iron with 20.3 kPa [densities from memory]", () => {
  expect(answerOf(metalHead(2380, 0.3)).toFixed(1)).toBe("7.0");
  expect(answerOf(metalHead(6900, 0.3)).toFixed(1)).toBe("20.3");
});

test("2.38 kg/s of aluminium through 1000 mm2 run at 1 m/s", () => {
  expect(answerOf(metalVelocity(2.38, 2380, 1000))).toBeCloseTo(1, 12);
});

test("what no metal and no pour can be is refused", () => {
  for (const bad of [Number.NaN, Number.POSITIVE_INFINITY, -1, 1e300]) {
    expect(codeOf(metalHead(bad, 1))).toBe("density-out-of-range");
    expect(codeOf(metalHead(2380, bad))).toBe("height-out-of-range");
    expect(codeOf(metalVelocity(1, bad, 100))).toBe("density-out-of-range");
  }
  expect(codeOf(metalVelocity(0, 2380, 100))).toBe("not-positive");
  expect(codeOf(metalVelocity(1, 2380, Number.NaN))).toBe("not-positive");
  expect(codeOf(metalVelocity(1e300, 2380, 100))).toBe("velocity-out-of-range");
});
