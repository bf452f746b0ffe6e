import fc from "fast-check";
import { expect, test } from "vitest";
import { drawAveragesWithS } from "../../../../spc/drawn/averages-s.ts";
import type { ChartDesign } from "../../../../spc/model/chart-design.ts";
import { usualDesign } from "../../../../spc/model/chart-design.ts";
import type { DrawnChart } from "../../../../spc/model/drawn-chart.ts";
import { verdictAt } from "../../../../spc/model/drawn-chart.ts";
import { subgroups } from "../../../../spc/model/grouped.ts";
import { allNumbers, listed } from "../../../unit/spc/drawn-variables/looking.ts";
import { normals } from "../seeded.ts";
import { allForms, groupedForms, lists } from "./forms.ts";

const whole = fc.integer({ min: -50, max: 50 });
const locations = ["individuals", "average", "median", "moving-average"];
const designs: readonly Partial<ChartDesign>[] = [{}, { basis: "overall" }, { limits: "exact" }, { k: 2 }];

function expectClose(actual: readonly (number | null)[], expected: readonly (number | null)[], size: number): void {
  expect(actual.length).toBe(expected.length);
  actual.forEach((value, place) => {
    const other = expected[place]!;
    if (value === null || other === null) expect(value).toBe(other);
    else expect(Math.abs(value - other)).toBeLessThanOrEqual(1e-9 * size);
  });
}

/** What a chart becomes when values become a + b x. */
function moved(chart: DrawnChart, a: number, b: number) {
  const located = locations.includes(chart.kind);
  const scale = located ? b : Math.abs(b);
  const shift = (value: number | null) => (value === null ? null : (located ? a : 0) + scale * value);
  const swap = scale < 0;
  return {
    values: listed(chart.values).map(shift),
    centres: listed(chart.centres).map(shift),
    lower: listed(swap ? chart.upper : chart.lower).map(shift),
    upper: listed(swap ? chart.lower : chart.upper).map(shift),
    sigmas: listed(chart.sigmas).map((value) => (value === null ? null : Math.abs(b) * value)),
  };
}

test.each(allForms)(
  "%s: everything moves with a + b x, and for b below zero the limits change places",
  (_, draw, single) => {
    const factor = fc.constantFrom(-3, -0.5, 0.25, 7);
    fc.assert(
      fc.property(lists(whole, single), whole, factor, fc.constantFrom(...designs), (values, a, b, change) => {
        const design = { ...usualDesign({ from: 0, to: values.length }), ...change };
        const from = draw(subgroups(values), design);
        const to = draw(subgroups(values.map((list) => list.map((x) => a + b * x))), design);
        const size = 1000 + Math.abs(a);
        from.charts.forEach((chart, i) => {
          const other = to.charts[i]!;
          expect(other.refusal?.code).toBe(chart.refusal?.code);
          const expected = moved(chart, a, b);
          for (const name of ["values", "centres", "sigmas", "lower", "upper"] as const)
            expectClose(listed(other[name]), expected[name], size);
        });
        if (from.sigmaWithin !== null) expectClose([to.sigmaWithin], [Math.abs(b) * from.sigmaWithin], size);
        if (from.dfWithin !== null) expectClose([to.dfWithin], [from.dfWithin], size);
      }),
      { numRuns: 60 },
    );
  },
);

test.each(groupedForms)("%s: the order within a subgroup changes nothing", (_, draw) => {
  fc.assert(
    fc.property(lists(whole, false), (values) => {
      const design = usualDesign({ from: 0, to: values.length });
      const one = draw(subgroups(values), design);
      const other = draw(subgroups(values.map((list) => [...list].reverse())), design);
      one.charts.forEach((chart, i) => {
        expectClose(allNumbers(other.charts[i]!), allNumbers(chart), 100);
      });
    }),
    { numRuns: 40 },
  );
});

const hostile = fc.constantFrom(
  0,
  -0,
  1,
  1e300,
  -1e300,
  1e-300,
  5e-324,
  1e7 + 0.1,
  Number.MAX_VALUE,
  -Number.MAX_VALUE,
);

test.each(allForms)(
  "%s: whatever finite numbers come, none comes out that is not, and nothing is judged by half",
  (_, draw, single) => {
    fc.assert(
      fc.property(lists(hostile, single), fc.constantFrom(...designs), fc.nat(), (values, change, cut) => {
        const design = { ...usualDesign({ from: 0, to: cut % (values.length + 1) }), ...change };
        const { charts, sigmaWithin, dfWithin } = draw(subgroups(values), design);
        for (const number of [sigmaWithin, dfWithin]) expect(number === null || number > 0).toBe(true);
        for (const chart of charts) {
          expect(allNumbers(chart).every(Number.isFinite)).toBe(true);
          for (let place = 0; place < values.length; place += 1) {
            const lines = [chart.lower, chart.centres, chart.upper, chart.sigmas].map((column) => column.at(place));
            const judged = chart.refusal === null && chart.values.at(place) !== null;
            if (judged) expect(lines).not.toContain(null);
            expect(verdictAt(chart, place) === "not-evaluable").toBe(!judged);
          }
        }
      }),
      { numRuns: 150 },
    );
  },
);

/** What a textbook says, word for word. */
function plainTwin(values: readonly (readonly number[])[]) {
  const n = values[0]!.length;
  const average = (list: readonly number[]) => list.reduce((sum, x) => sum + x, 0) / list.length;
  const averages = values.map(average);
  const sds = values.map((list, i) => Math.sqrt(list.reduce((sum, x) => sum + (x - averages[i]!) ** 2, 0) / (n - 1)));
  // sqrt(2 / (n - 1)) gamma(n / 2) / gamma((n - 1) / 2) for n = 5: gamma(5/2) is 3/4 sqrt(pi), gamma(2) is 1.
  const c4 = Math.sqrt(2 / 4) * 0.75 * Math.sqrt(Math.PI);
  const meanS = average(sds);
  const a3 = 3 / (c4 * Math.sqrt(n));
  const spread = (3 / c4) * Math.sqrt(1 - c4 ** 2);
  return {
    averages,
    sds,
    centre: average(averages),
    upper: average(averages) + a3 * meanS,
    lower: average(averages) - a3 * meanS,
    meanS,
    upperS: (1 + spread) * meanS,
    lowerS: Math.max(0, 1 - spread) * meanS,
  };
}

test("averages with s of equal subgroups are what the plain formulas of a textbook give", () => {
  const next = normals(31);
  for (let trial = 0; trial < 50; trial += 1) {
    const values = Array.from({ length: 20 + trial }, () => Array.from({ length: 5 }, () => 8 + 2 * next()));
    const [location, spread] = drawAveragesWithS(subgroups(values), usualDesign({ from: 0, to: values.length })).charts;
    const plain = plainTwin(values);
    const at = (chart: DrawnChart) => [chart.centres.at(3)!, chart.upper.at(3)!, chart.lower.at(3)!];
    [...listed(location!.values), ...listed(spread!.values), ...at(location!), ...at(spread!)].forEach((value, i) => {
      const twins = [...plain.averages, ...plain.sds, plain.centre, plain.upper, plain.lower];
      const expected = [...twins, plain.meanS, plain.upperS, plain.lowerS][i]!;
      expect(Math.abs(value! - expected)).toBeLessThan(1e-12 * 10);
    });
  }
});
