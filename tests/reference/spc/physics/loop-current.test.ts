import { expect, test } from "vitest";
import { loopCurrent, loopReading } from "../../../../spc/physics/loop-current.ts";
import { answerOf, codeOf } from "./outcome.ts";

const span = { at4: 0, at20: 10 };

// NAMUR NE 43 as public pages print it (g-sensor.net, instrunexus.com, zeroinstrument.com, excerpts; the recommendation
// was not opened): 3.8 to 20.5 mA measure, below 3.6 and above 21 mA are faults.
test.each([
  [0, "wire-break"],
  [-0.1, "wire-break"],
  [3.4, "wire-break"],
  [3.6, "wire-break"],
  [3.601, "below-range"],
  [3.8, "below-range"],
  [20.5, "above-range"],
  [20.999, "above-range"],
  [21, "short-circuit"],
  [24, "short-circuit"],
  [1e300, "short-circuit"],
  [Number.NaN, "not-finite"],
  [Number.POSITIVE_INFINITY, "not-finite"],
])("%d mA is no value but %s [as quoted, NE 43 not opened]", (milliamp, code) => {
  expect(codeOf(loopReading(milliamp, span))).toBe(code);
});

test.each([
  [4, 0],
  [8, 2.5],
  [12, 5],
  [20, 10],
  [3.9, -0.0625],
  [20.4, 10.25],
])("%d mA of a loop of 0 to 10 bar is %d bar [as quoted, NE 43 not opened]", (milliamp, bar) => {
  expect(answerOf(loopReading(milliamp, span))).toBeCloseTo(bar, 12);
  expect(answerOf(loopCurrent(bar, span))).toBeCloseTo(milliamp, 12);
});

test("a span may run downwards", () => {
  expect(answerOf(loopReading(8, { at4: 100, at20: -100 }))).toBe(50);
  expect(codeOf(loopCurrent(110, { at4: 100, at20: -100 }))).toBe("below-range");
});

test("what a transmitter cannot send has no current", () => {
  expect(codeOf(loopCurrent(-0.2, span))).toBe("below-range");
  expect(codeOf(loopCurrent(10.4, span))).toBe("above-range");
  expect(codeOf(loopCurrent(Number.NEGATIVE_INFINITY, span))).toBe("below-range");
  expect(codeOf(loopCurrent(Number.NaN, span))).toBe("not-finite");
});

test("a span of one value is a mistake of whoever set it", () => {
  for (const bad of [0, Number.NaN, Number.POSITIVE_INFINITY]) {
    expect(() => loopReading(12, { at4: 0, at20: bad })).toThrow(RangeError);
    expect(() => loopCurrent(1, { at4: 0, at20: bad })).toThrow(RangeError);
  }
});
