import { expect, test } from "vitest";
import { drawAveragesWithRange } from "../../../../spc/drawn/averages-range.ts";
import { drawAveragesWithS } from "../../../../spc/drawn/averages-s.ts";
import { drawIndividuals } from "../../../../spc/drawn/individuals.ts";
import { drawMedians } from "../../../../spc/drawn/medians.ts";
import { drawMovingAverage } from "../../../../spc/drawn/moving-average.ts";
import { factorB6, factorD2 } from "../../../../spc/factors/chart-factors.ts";
import { medianSigma } from "../../../../spc/factors/median-sigma.ts";
import { rangeCdf } from "../../../../spc/factors/range-distribution.ts";
import { chiSquareCdf } from "../../../../spc/library/chi-square.ts";
import { normalCdf } from "../../../../spc/library/normal.ts";
import type { ChartDesign } from "../../../../spc/model/chart-design.ts";
import { usualDesign } from "../../../../spc/model/chart-design.ts";
import type { DrawnChart } from "../../../../spc/model/drawn-chart.ts";
import type { Grouped } from "../../../../spc/model/grouped.ts";
import { normals } from "../../../property/spc/seeded.ts";
import { beyond } from "../../../unit/spc/drawn-variables/looking.ts";

// Parameters given, so that the chance of one point is exact: its inverse is the run length of independent points.
const POINTS = 200_000;
const next = normals(77);
const five: Grouped = {
  values: Float64Array.from({ length: 5 * POINTS }, next),
  starts: Uint32Array.from({ length: POINTS + 1 }, (_, i) => 5 * i),
  anew: [],
};
const four: Grouped = {
  values: five.values,
  starts: Uint32Array.from({ length: POINTS + 1 }, (_, i) => 4 * i),
  anew: [],
};
const one: Grouped = {
  values: five.values.subarray(0, POINTS),
  starts: Uint32Array.from({ length: POINTS + 1 }, (_, i) => i),
  anew: [],
};
const sigma: ChartDesign = { ...usualDesign({ from: 0, to: 0 }), centre: 0, sigma: 1 };
const exact: ChartDesign = { ...sigma, limits: "exact" };

const twoSided = 2 * normalCdf(-3);
/** The median of five lies below x with the chance that three or more do. */
const u = normalCdf(3 * medianSigma(5));
const medianBeyond = 2 * (1 - u ** 3 * (10 - 15 * u + 6 * u * u));

const cases: readonly (readonly [string, DrawnChart, number])[] = [
  ["single values", drawIndividuals(one, sigma).charts[0]!, twoSided],
  ["averages", drawAveragesWithS(five, sigma).charts[0]!, twoSided],
  ["medians", drawMedians(five, sigma).charts[0]!, medianBeyond],
  ["medians, exact limits", drawMedians(five, exact).charts[0]!, twoSided],
  ["medians of four, exact limits", drawMedians(four, exact).charts[0]!, twoSided],
  ["ranges", drawAveragesWithRange(five, sigma).charts[1]!, 1 - rangeCdf(factorD2(5), 5)],
  ["ranges, exact limits", drawAveragesWithRange(five, exact).charts[1]!, twoSided],
  ["standard deviations", drawAveragesWithS(five, sigma).charts[1]!, 1 - chiSquareCdf(4 * factorB6(5) ** 2, 4)],
  ["standard deviations, exact limits", drawAveragesWithS(five, exact).charts[1]!, twoSided],
];

test.each(cases)(
  "in control, %s lie beyond their limits as often as theory says: our simulation, within 4 standard errors",
  (_, chart, chance) => {
    const share = beyond(chart).length / POINTS;
    expect(Math.abs(share - chance)).toBeLessThan(4 * Math.sqrt((chance * (1 - chance)) / POINTS));
  },
);

const overlapping: readonly (readonly [string, DrawnChart, number, number])[] = [
  ["moving ranges", drawIndividuals(one, sigma).charts[1]!, 2 * normalCdf(-factorD2(2) / Math.SQRT2), 2],
  ["moving ranges, exact limit", drawIndividuals(one, exact).charts[1]!, normalCdf(-3), 2],
  ["moving averages of four", drawMovingAverage(one, sigma, 4).charts[0]!, twoSided, 4],
];

test.each(overlapping)("in control, %s do as well, though neighbours overlap", (_, chart, chance, span) => {
  const share = beyond(chart).length / POINTS;
  // Points `span` apart are independent, so the variance is at most 2 span - 1 times that of independent points.
  expect(Math.abs(share - chance)).toBeLessThan(4 * Math.sqrt(((2 * span - 1) * chance) / POINTS));
});
