import { expect, test } from "vitest";
import { clipsAt } from "../../../../spc/health/clipped.ts";
import { loopReading } from "../../../../spc/physics/loop-current.ts";

/** NAMUR NE 43 as public pages print it: 3.6 and 21 mA say a fault, 3.8 and 20.5 mA end what a transmitter measures. */
const borders = { below: 3.8, above: 20.5 };

test("a loop's readings clip where NE 43 ends the measured range", () => {
  const range = { lower: -1, upper: 2.5 };
  const perMilliamp = (range.upper - range.lower) / 16;
  const { lower, upper } = clipsAt({ ...range, loop: true });
  expect(lower).toBeCloseTo(range.lower + (borders.below - 4) * perMilliamp, 12);
  expect(upper).toBeCloseTo(range.lower + (borders.above - 4) * perMilliamp, 12);
});

test("just inside those ends a current is still a value, and at them it is none", () => {
  const span = { at4: -1, at20: 2.5 };
  const inside = loopReading(20.49, span);
  expect(inside.ok && inside.value).toBeLessThan(clipsAt({ lower: -1, upper: 2.5, loop: true }).upper);
  for (const [current, code] of [
    [20.5, "above-range"],
    [3.8, "below-range"],
    [3.4, "wire-break"],
    [21, "short-circuit"],
  ] as const) {
    expect(loopReading(current, span)).toMatchObject({ ok: false, refusal: { code } });
  }
});
