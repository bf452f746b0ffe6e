import { expect, test } from "vitest";
import { shownIndex } from "../../../../spc/capability/shown-index.ts";

test.each([
  [1.3299, "1.32"],
  [1.3251, "1.32"],
  [1.33, "1.33"],
  [1.3249, "1.32"],
  [1.3349, "1.33"],
  [1.336, "1.34"],
  [0.999, "0.99"],
  [1.6699, "1.66"],
  [1.33 - 1e-15, "1.33"],
  [0.126, "0.13"],
  [-0.126, "-0.13"],
  [-0.001, "0.00"],
])("%d is shown as %s", (index, text) => {
  expect(shownIndex(index)).toBe(text);
});

test("any threshold may be named, and no index that is none is shown", () => {
  expect(shownIndex(1.498, [1.5])).toBe("1.49");
  expect(shownIndex(1.498, [])).toBe("1.50");
  expect(shownIndex(-0.0001, [0])).toBe("-0.01");
  for (const bad of [Number.NaN, Infinity]) expect(() => shownIndex(bad)).toThrow(RangeError);
});
