import { expect, test } from "vitest";
import { indexAsObserved, indexBehindInstrument } from "../../../../spc/capability/instrument-share.ts";

test("an instrument that spreads three quarters as much as the process takes a fifth of the index", () => {
  expect(indexAsObserved(2, 0.75)).toBeCloseTo(1.6, 15);
  expect(indexBehindInstrument(1.6, 0.75)).toBeCloseTo(2, 15);
  expect(indexAsObserved(1.33, 0)).toBe(1.33);
});

test("a ratio of spreads that is none is a defect", () => {
  for (const bad of [-0.1, Number.NaN, Infinity]) {
    expect(() => indexAsObserved(1, bad)).toThrow(RangeError);
    expect(() => indexBehindInstrument(1, bad)).toThrow(RangeError);
  }
});
