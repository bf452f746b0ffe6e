import { expect, test } from "vitest";
import { digitsApart } from "../../../../spc/model/digits-apart.ts";

test("a value beyond its line is written with as many digits as tell the two apart, and never fewer than it deserves", () => {
  expect(digitsApart(716.2, 733.4, 1)).toBe(1);
  expect(digitsApart(0.043_68, 0.043_72, 4)).toBe(5);
  expect(digitsApart(-0.04, 0.04, 1)).toBe(2);
  expect(digitsApart(1, 1 + 1e-12, 3)).toBe(3);
});
