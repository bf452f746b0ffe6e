import { expect, test } from "vitest";
import { movingRangesOf } from "../../../../spc/sigma/moving-ranges.ts";

const none = Number.NaN;

test("a moving range is never bridged: not across a missing point, nor where memory ends", () => {
  const points = Float64Array.of(1, 3, none, 10, 14, 9);
  expect(movingRangesOf(points, [])).toEqual(Float64Array.of(none, 2, none, none, 4, 5));
  expect(movingRangesOf(points, [5])).toEqual(Float64Array.of(none, 2, none, none, 4, none));
  expect(movingRangesOf(points, [0, 2, 4])).toEqual(Float64Array.of(none, 2, none, none, none, 5));
});

test("a longer span takes largest less smallest of its points", () => {
  const points = Float64Array.of(1, 3, 2, none, 10, 14, 9, 9);
  expect(movingRangesOf(points, [], 3)).toEqual(Float64Array.of(none, none, 2, none, none, none, 5, 5));
  expect(movingRangesOf(points, [7], 3)[7]).toBeNaN();
});

test("a span of less than two is a defect", () => {
  for (const span of [1, 2.5, none]) expect(() => movingRangesOf(Float64Array.of(1, 2), [], span)).toThrow(RangeError);
});
