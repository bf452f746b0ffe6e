import fc from "fast-check";
import { expect, test } from "vitest";
import { cusumStage } from "../../../../spc/charts/cusum.ts";
import { cusumShift } from "../../../../spc/charts/cusum-shift.ts";
import type { CusumScheme, CusumState } from "../../../../spc/charts/cusum-sums.ts";
import type { Weighed } from "../../../../spc/charts/ewma.ts";
import { drawCusum } from "../../../../spc/drawn/cusum.ts";
import { cusumShiftAt } from "../../../../spc/drawn/cusum-follow.ts";
import { usualDesign } from "../../../../spc/model/chart-design.ts";
import { columnFrom } from "../../../../spc/model/column.ts";
import { verdictAt } from "../../../../spc/model/drawn-chart.ts";
import { singles, subgroups } from "../../../../spc/model/grouped.ts";
import { advance } from "../../../../spc/model/stage.ts";
import { drawnValues, faults } from "../../../unit/spc/time-weighted/series.ts";

const maybe = fc.oneof(
  { weight: 6, arbitrary: fc.double({ min: -5, max: 5, noNaN: true }) },
  { weight: 1, arbitrary: fc.constant(null) },
);
const series = fc.array(maybe, { minLength: 1, maxLength: 40 });
const options = fc.record({
  k: fc.constantFrom(0, 0.25, 0.5, 1),
  h: fc.constantFrom(2, 4.77),
  headStart: fc.constantFrom(0, 1),
  of: fc.constantFrom("location" as const, "scale" as const),
  shewhart: fc.constantFrom(null, 3.5),
});
const given = (n: number) => ({ ...usualDesign({ from: 0, to: n }), centre: 0.5, sigma: 1.5 });

test("the chart over a whole series is the fold of the live one, wherever it is cut and written as JSON", () => {
  fc.assert(
    fc.property(series, options, fc.nat(), fc.nat(), (values, own, cut, place) => {
      const corrections = [place % values.length];
      const drawn = drawCusum(singles(values), given(values.length), { ...own, corrections });
      const inputs = values.map((value, i): Weighed => {
        return { subgroup: i, atMs: i, value, size: value === null ? 0 : 1, corrected: corrections.includes(i) };
      });
      const stage = cusumStage(drawn.scheme!);
      const at = cut % (values.length + 1);
      const first = advance(stage, inputs.slice(0, at));
      const kept = JSON.parse(JSON.stringify(first.state)) as CusumState;
      const rest = advance(stage, inputs.slice(at), kept);
      [...first.out, ...rest.out].forEach(({ upper, lower }, i) => {
        expect([upper.value, lower.value]).toEqual([0, 1].map((side) => drawn.charts[side]!.values.at(i)));
        expect(upper.verdict).toBe(verdictAt(drawn.charts[0]!, i));
        expect(lower.verdict).toBe(verdictAt(drawn.charts[1]!, i));
      });
      const last = values.length - 1;
      for (const side of ["upper", "lower"] as const) {
        const found = cusumShiftAt(columnFrom(values), singles(values), drawn.scheme!, side, last, corrections);
        expect(found).toEqual(cusumShift(drawn.scheme!, side, rest.state));
      }
    }),
  );
});

test("a mirror image exchanges the two sums", () => {
  fc.assert(
    fc.property(series, options, (values, own) => {
      const design = { ...given(values.length), centre: 0 };
      const turned = values.map((value) => (value === null ? null : -value));
      const [upper, lower] = drawCusum(singles(values), design, { ...own, of: "location" }).charts;
      const [mirrorUpper, mirrorLower] = drawCusum(singles(turned), design, { ...own, of: "location" }).charts;
      expect(drawnValues(mirrorUpper!)).toEqual(drawnValues(lower!));
      expect(drawnValues(mirrorLower!)).toEqual(drawnValues(upper!));
    }),
  );
});

test("k and h in the unit of the data say the same as in sigma of the average", () => {
  fc.assert(
    fc.property(series, options, fc.integer({ min: 1, max: 4 }), (values, own, size) => {
      const groups = values.map((value) => (value === null ? [] : Array.from({ length: size }, () => value)));
      fc.pre(values.some((value) => value !== null));
      const unit = 1.5 / Math.sqrt(size);
      const data = {
        ...own,
        k: own.k * unit,
        h: own.h * unit,
        headStart: own.headStart * unit,
        units: "data",
      } as const;
      const [one, other] = [own, data].map((how) => drawCusum(subgroups(groups), given(values.length), how));
      expect(other!.scheme!.k).toBeCloseTo(one!.scheme!.k, 12);
      [0, 1].forEach((side) => {
        values.forEach((value, i) => {
          if (value === null) return;
          expect(other!.charts[side]!.values.at(i)).toBeCloseTo(one!.charts[side]!.values.at(i)!, 9);
        });
        expect(other!.charts[side]!.upper.at(0)).toBeCloseTo(one!.charts[side]!.upper.at(0)!, 9);
      });
    }),
  );
});

test("sums do not depend on unit and level of the values", () => {
  fc.assert(
    fc.property(
      fc.array(maybe, { minLength: 4, maxLength: 40 }),
      options,
      fc.integer({ min: -1000, max: 1000 }),
      fc.constantFrom(0.01, 3, 1e4),
      (values, own, a, b) => {
        const design = usualDesign({ from: 0, to: values.length });
        const from = drawCusum(singles(values), design, own);
        const to = drawCusum(singles(values.map((value) => (value === null ? null : a + b * value))), design, own);
        // A spread in the last bits of the level is refused at one level and not at another.
        fc.pre(from.scheme !== null && to.scheme !== null && from.scheme.sigma > 1e-3);
        for (const side of [0, 1]) {
          drawnValues(from.charts[side]!).forEach((sum, i) => {
            const moved = to.charts[side]!.values.at(i);
            if (sum === null) expect(moved).toBeNull();
            else expect(Math.abs(moved! - sum)).toBeLessThan(1e-4 * (1 + sum));
          });
        }
      },
    ),
  );
});

test("whatever numbers go in, nothing but numbers comes out, and states can be written as JSON", () => {
  const wild = fc.oneof(
    fc.double({ noNaN: true, noDefaultInfinity: true }),
    fc.constantFrom(0, 1, 1e300, -1e300, 1e-300, 1e7 + 0.1, 1.7e308),
    fc.constant(null),
  );
  fc.assert(
    fc.property(fc.array(wild, { maxLength: 30 }), options, (values, own) => {
      const { charts, scheme } = drawCusum(singles(values), usualDesign({ from: 0, to: values.length }), own);
      expect(charts.slice(0, 2).flatMap(faults)).toEqual([]);
      if (scheme === null) expect(values.some((_, i) => verdictAt(charts[0]!, i) === "within")).toBe(false);
    }),
  );
  const scheme: CusumScheme = { centre: 0, sigma: 1e-10, k: 0, h: 4, headStart: 0, of: "location", shewhart: null };
  const huge = [1e298, 1e298, 1e300].map((value, i) => ({ subgroup: i, atMs: i, value, size: 1 }));
  const { state } = advance(cusumStage(scheme), [...huge, ...huge]);
  expect(JSON.parse(JSON.stringify(state))).toEqual(state);
});
