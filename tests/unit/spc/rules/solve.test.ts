import { expect, test } from "vitest";
import { solve } from "../../../../spc/rules/solve.ts";

test("solve finds x in A x = b, also where the first pivot is zero, and leaves A as it was", () => {
  const matrix = [
    [0, 2, 1],
    [1, 1, 0],
    [3, 0, -1],
  ];
  const x = solve(matrix, [7, 3, 0]);
  expect(x[0]).toBeCloseTo(1, 12);
  expect(x[1]).toBeCloseTo(2, 12);
  expect(x[2]).toBeCloseTo(3, 12);
  expect(matrix[0]).toEqual([0, 2, 1]);
});

test("a singular matrix is a defect", () => {
  expect(() =>
    solve(
      [
        [1, 2],
        [2, 4],
      ],
      [1, 1],
    ),
  ).toThrow(/singular/);
});
