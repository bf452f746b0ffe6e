import { expect, test } from "vitest";
import { besideWords } from "../../../../spc/flags/beside.ts";

const header = { name: "steam header BO-1", of: "presses" };

test("one press alone points at its own valve rather than at the boiler", () => {
  const words = besideWords("PR-03", header, [
    { station: "PR-01", shows: "within" },
    { station: "PR-02", shows: "within" },
    { station: "PR-04", shows: "within" },
  ]);
  expect(words).toBe(
    "PR-03 alone: all 3 other presses on steam header BO-1 ran since and stand within their limits, " +
      "so look at PR-03 before steam header BO-1.",
  );
});

test("others out as well point at what they share", () => {
  const words = besideWords("PR-03", header, [
    { station: "PR-01", shows: "out" },
    { station: "PR-02", shows: "within" },
  ]);
  expect(words).toBe("PR-01 on steam header BO-1 is out as well: look at steam header BO-1 before PR-03.");
});

test("those that have not run yet say nothing", () => {
  const others = [
    { station: "PR-01", shows: "nothing-yet" },
    { station: "PR-02", shows: "within" },
  ] as const;
  expect(besideWords("PR-03", header, others)).toMatch(/^PR-03 alone: 1 of 2 other presses/);
  expect(besideWords("PR-03", header, others.slice(0, 1))).toMatch(/are not told apart yet\.$/);
});
