import fc from "fast-check";
import { expect, test } from "vitest";
import { drawBatchMeans } from "../../../../spc/drawn/batch-mean.ts";
import { drawNominal } from "../../../../spc/drawn/nominal.ts";
import { drawQ } from "../../../../spc/drawn/q.ts";
import { drawResidual } from "../../../../spc/drawn/residual.ts";
import { drawZW } from "../../../../spc/drawn/z-w.ts";
import { usualDesign } from "../../../../spc/model/chart-design.ts";
import type { DrawnCharts } from "../../../../spc/model/drawn-chart.ts";
import { verdictAt } from "../../../../spc/model/drawn-chart.ts";
import { singles } from "../../../../spc/model/grouped.ts";
import { drawnValues, faults } from "../../../unit/spc/time-weighted/series.ts";

type Values = readonly (number | null)[];

/** Each chart over single values alone, with what it needs beside them by place. */
const forms: Record<string, (values: Values) => DrawnCharts> = {
  residual: (values) => drawResidual(singles(values), usualDesign({ from: 0, to: values.length })),
  "residual, given phi": (values) =>
    drawResidual(singles(values), usualDesign({ from: 0, to: values.length }), { phi: 0.6 }),
  "batch means": (values) => drawBatchMeans(singles(values), usualDesign({ from: 0, to: values.length })),
  "batch means of three": (values) =>
    drawBatchMeans(singles(values), usualDesign({ from: 0, to: values.length }), { size: 3 }),
  deviation: (values) =>
    drawNominal(
      singles(values),
      values.map((_, i) => (i % 2 === 0 ? 0 : 0.25)),
      usualDesign({ from: 0, to: values.length }),
    ),
  "z and w": (values) =>
    drawZW(
      singles(values),
      values.map((_, i) => i % 2),
      usualDesign({ from: 0, to: values.length }),
    ),
  q: (values) => drawQ(singles(values), usualDesign({ from: 0, to: values.length })),
};

const wild = fc.oneof(
  fc.double({ noNaN: true, noDefaultInfinity: true }),
  fc.constantFrom(0, 1, 1e300, -1e300, 1e-300, 1e7 + 0.1, 1.7e308),
  fc.constant(null),
);

test.each(Object.entries(forms))("%s: whatever numbers go in, nothing but numbers comes out", (_, draw) => {
  fc.assert(
    fc.property(fc.array(wild, { maxLength: 30 }), (values) => {
      const { charts } = draw(values);
      // Limits whose distance is lost in the last bits of the level are no order.
      expect(charts.flatMap(faults).filter((fault) => !fault.includes(" to "))).toEqual([]);
      for (const chart of charts.filter(({ refusal }) => refusal !== null)) {
        expect(drawnValues(chart).some((__, i) => verdictAt(chart, i) === "within")).toBe(false);
      }
    }),
  );
  for (const value of [Number.NaN, Number.NEGATIVE_INFINITY]) expect(() => draw([1, 2, value])).toThrow(RangeError);
});

const tame = fc.array(
  fc.oneof({ weight: 8, arbitrary: fc.integer({ min: -50, max: 50 }) }, { weight: 1, arbitrary: fc.constant(null) }),
  {
    minLength: 12,
    maxLength: 40,
  },
);

/** How each chart's values follow when x becomes a + b x, b above zero. */
const follow: Record<string, (value: number, a: number, b: number) => number> = {
  residual: (value, _, b) => b * value,
  "batch means of three": (value, a, b) => a + b * value,
  "z and w": (value) => value,
  q: (value) => value,
};

test.each(Object.entries(follow))("%s: values and verdicts follow a change of unit and level", (name, moved) => {
  fc.assert(
    fc.property(tame, fc.integer({ min: -100, max: 100 }), fc.constantFrom(0.5, 4, 1000), (values, a, b) => {
      const [one, other] = [values, values.map((value) => (value === null ? null : a + b * value))].map((x) =>
        forms[name]!(x),
      );
      one!.charts.forEach((chart, c) => {
        const twin = other!.charts[c]!;
        expect(twin.refusal?.code).toBe(chart.refusal?.code);
        if (c > 0) return;
        drawnValues(chart).forEach((value, i) => {
          const found = twin.values.at(i);
          if (value === null) expect(found).toBeNull();
          else
            expect(Math.abs(found! - moved(value, a, b))).toBeLessThan(1e-6 * (1 + Math.abs(a) + b * Math.abs(value)));
        });
      });
    }),
  );
});

test("sorting by part would hide the order: charts of parts keep the places they were given", () => {
  fc.assert(
    fc.property(tame, (values) => {
      for (const name of ["deviation", "z and w"]) {
        const { charts } = forms[name]!(values);
        expect(charts.every((chart) => chart.values.length === values.length)).toBe(true);
        values.forEach((value, i) => {
          if (value === null) expect(charts[0]!.values.at(i)).toBeNull();
        });
      }
    }),
  );
});
