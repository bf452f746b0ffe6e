import { expect, test } from "vitest";
import { drawC } from "../../../../spc/drawn/c.ts";
import { usualDesign } from "../../../../spc/model/chart-design.ts";
import { counted } from "../../../../spc/model/counted.ts";
import { verdictAt } from "../../../../spc/model/drawn-chart.ts";

/** Particles on 25 wafers, NIST/SEMATECH e-Handbook 6.3.3.1 (from memory): mean 16, limits 4 and 28. */
const wafers = [16, 14, 28, 16, 12, 20, 10, 12, 10, 17, 19, 17, 14, 16, 15, 13, 14, 16, 11, 20, 11, 19, 16, 31, 13];

test("a count exactly on the limit is within it: wafer 3 has 28 = 16 + 3 sqrt(16)", () => {
  const chart = drawC(counted(wafers), usualDesign({ from: 0, to: 25 })).charts[0]!;
  expect(chart.centres.at(2)).toBe(16);
  expect(chart.lower.at(2)).toBe(4);
  expect(chart.upper.at(2)).toBe(28);
  expect(verdictAt(chart, 2)).toBe("within");
  const verdicts = wafers.map((_, place) => verdictAt(chart, place));
  expect(verdicts.flatMap((verdict, place) => (verdict === "within" ? [] : [place + 1]))).toEqual([24]);
  expect(chart.provenance).toEqual({ estimator: "poisson", from: 0, to: 25, n: 25, k: 3 });
});
