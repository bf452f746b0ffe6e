import { expect, test } from "vitest";
import { repeatedWatch } from "../../../../spc/health/repeated.ts";
import { saidOf, same } from "./readings.ts";

test("a fine reading that stands four times in a row was written again", () => {
  const said = saidOf(repeatedWatch({ spread: 6.3, step: 1, unit: "Cel" }), [748, ...same(751, 4), 749]);
  expect(said.map(({ sinceMs, finding }) => [sinceMs, finding.verdict])).toEqual([
    [1_000, "fault"],
    [5_000, "well"],
  ]);
  expect(said[0]?.finding.says).toMatch(
    /^751 °C stands 4 times in a row; chance writes such a row once in [\d,]+ takings$/,
  );
});

test("a coarse one repeats by chance: undecided first, a fault when the row is too long", () => {
  const said = saidOf(repeatedWatch({ spread: 0.176, step: 0.1, unit: "g/L" }), same(20.1, 30));
  expect(said.map(({ finding }) => finding.verdict)).toEqual(["undecided", "fault"]);
});

test("three in a row are nothing", () => {
  expect(saidOf(repeatedWatch({ spread: 6.3, step: 1, unit: "Cel" }), [1, 2, 2, 2, 3])).toEqual([]);
});
