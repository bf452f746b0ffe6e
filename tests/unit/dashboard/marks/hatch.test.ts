import { expect, test } from "vitest";
import { hatchPath } from "../../../../dashboard/marks/hatch.ts";

test("hatching stays inside its rectangle", () => {
  const numbers = hatchPath(10, 50, 5, 35)
    .split(/[ML]/)
    .filter((part) => part !== "")
    .map((part) => part.split(",").map(Number));
  expect(numbers.length).toBeGreaterThan(10);
  for (const [x, y] of numbers) {
    expect(x).toBeGreaterThanOrEqual(10);
    expect(x).toBeLessThanOrEqual(50);
    expect(y).toBeGreaterThanOrEqual(5);
    expect(y).toBeLessThanOrEqual(35);
  }
});
