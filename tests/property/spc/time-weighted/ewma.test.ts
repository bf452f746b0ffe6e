import fc from "fast-check";
import { expect, test } from "vitest";
import type { Weighed } from "../../../../spc/charts/ewma.ts";
import { ewmaStage } from "../../../../spc/charts/ewma.ts";
import type { EwmaScheme, EwmaState } from "../../../../spc/charts/ewma-state.ts";
import type { EwmaOptions } from "../../../../spc/drawn/ewma.ts";
import { drawEwma } from "../../../../spc/drawn/ewma.ts";
import { drawIndividuals } from "../../../../spc/drawn/individuals.ts";
import { usualDesign } from "../../../../spc/model/chart-design.ts";
import { verdictAt } from "../../../../spc/model/drawn-chart.ts";
import { singles, subgroups } from "../../../../spc/model/grouped.ts";
import { advance } from "../../../../spc/model/stage.ts";
import { dependentSeries, drawnValues, faults } from "../../../unit/spc/time-weighted/series.ts";

const maybe = fc.oneof(
  { weight: 6, arbitrary: fc.double({ min: -10, max: 10, noNaN: true }) },
  { weight: 1, arbitrary: fc.constant(null) },
);
const series = fc.array(maybe, { minLength: 1, maxLength: 40 });
const options: fc.Arbitrary<EwmaOptions> = fc.record({
  lambda: fc.constantFrom(0.05, 0.2, 0.7, 1),
  width: fc.constantFrom(1, 2.86),
  headStart: fc.constantFrom(null, 0.5),
  asymptotic: fc.boolean(),
  dependence: fc.constantFrom({ share: 0, phi: 0 }, { share: 0.7, phi: 0.8 }, { share: 1, phi: -0.5 }),
});
const given = (n: number) => ({ ...usualDesign({ from: 0, to: n }), centre: 1, sigma: 2 });
const stageOf = (own: EwmaOptions): EwmaScheme => ({
  centre: 1,
  sigma: 2,
  alike: false,
  lambda: own.lambda!,
  width: own.width!,
  asymptotic: own.asymptotic!,
  headStart: own.headStart!,
  dependence: own.dependence!,
});

test("the chart over a whole series is the fold of the live one, wherever it is cut and written as JSON", () => {
  const lists = fc.array(fc.array(fc.double({ min: -10, max: 10, noNaN: true }), { maxLength: 3 }), { maxLength: 25 });
  fc.assert(
    fc.property(lists, options, fc.nat(), fc.nat(), (groups, own, cut, place) => {
      const corrections = groups.length > 2 ? [place % groups.length] : [];
      const chart = drawEwma(subgroups(groups), given(groups.length), { ...own, corrections }).charts[0]!;
      const inputs = groups.map((group, i): Weighed => {
        const value = group.length === 0 ? null : chartAverage(groups, i);
        return { subgroup: i, atMs: i, value, size: group.length, corrected: corrections.includes(i) };
      });
      const stage = ewmaStage(stageOf(own));
      const at = cut % (groups.length + 1);
      const first = advance(stage, inputs.slice(0, at));
      const kept = JSON.parse(JSON.stringify(first.state)) as EwmaState;
      const judged = [...first.out, ...advance(stage, inputs.slice(at), kept).out];
      judged.forEach((point, i) => {
        expect(point.value).toBe(chart.values.at(i));
        if (point.value === null) return;
        expect(point.upper).toBeCloseTo(chart.upper.at(i)!, 12);
        expect(point.verdict).toBe(verdictAt(chart, i));
      });
    }),
  );
});

/** The average as the pair beside it plots it. */
function chartAverage(groups: readonly (readonly number[])[], i: number): number {
  const alone = drawEwma(subgroups([groups[i]!]), { ...given(1), centre: 0, sigma: 1 }, { lambda: 1 });
  return alone.charts[0]!.values.at(0)!;
}

test("with lambda 1 it is the Shewhart chart of the same width", () => {
  fc.assert(
    fc.property(series, (values) => {
      const design = given(values.length);
      const chart = drawEwma(singles(values), design, { lambda: 1, width: 3 }).charts[0]!;
      const plain = drawIndividuals(singles(values), design).charts[0]!;
      values.forEach((value, i) => {
        expect(verdictAt(chart, i)).toBe(verdictAt(plain, i));
        if (value !== null) expect(chart.values.at(i)).toBeCloseTo(value, 12);
        if (value !== null) expect(chart.upper.at(i)).toBeCloseTo(plain.upper.at(i)!, 12);
      });
    }),
  );
});

test("charts are equivariant under a + b x, and a mirror image changes sides", () => {
  fc.assert(
    fc.property(
      fc.array(maybe, { minLength: 12, maxLength: 40 }),
      options,
      fc.constantFrom("chart" as const, "overall" as const),
      fc.integer({ min: -1000, max: 1000 }),
      fc.constantFrom(-1, 0.01, 1e4),
      (values, own, basis, a, b) => {
        const design = { ...usualDesign({ from: 0, to: values.length }), basis };
        const from = drawEwma(singles(values), design, own);
        const moved = values.map((value) => (value === null ? null : a + b * value));
        const to = drawEwma(singles(moved), design, own);
        fc.pre(from.scheme !== null && to.scheme !== null);
        const near = (x: number | null, y: number): void =>
          expect(Math.abs(x! - y)).toBeLessThan(1e-8 * (Math.abs(a) + Math.abs(b) * 100));
        values.forEach((value, i) => {
          if (value === null) return;
          near(to.charts[0]!.values.at(i), a + b * from.charts[0]!.values.at(i)!);
          const side = b > 0 ? "upper" : "lower";
          near(to.charts[0]!.upper.at(i), a + b * from.charts[0]![side].at(i)!);
        });
      },
    ),
  );
});

test("whatever numbers go in, nothing but numbers comes out, and nothing is within without limits", () => {
  const wild = fc.oneof(
    fc.double({ noNaN: true, noDefaultInfinity: true }),
    fc.constantFrom(0, 1, 1e300, -1e300, 1e-300, 1e7 + 0.1, 1.7e308),
    fc.constant(null),
  );
  fc.assert(
    fc.property(
      fc.array(wild, { maxLength: 30 }),
      options,
      fc.constantFrom("chart", "overall"),
      (values, own, basis) => {
        const design = { ...usualDesign({ from: 0, to: values.length }), basis };
        const { charts, scheme } = drawEwma(singles(values), design, own);
        // Limits that coincide in the last bits of numbers this large are no order.
        if (scheme === null || Math.abs(scheme.centre) < 1e12 * scheme.sigma)
          expect(charts.flatMap(faults)).toEqual([]);
        if (scheme === null) expect(values.some((_, i) => verdictAt(charts[0]!, i) === "within")).toBe(false);
      },
    ),
  );
  for (const value of [Number.NaN, Number.POSITIVE_INFINITY]) {
    expect(() => drawEwma(singles([1, value]), usualDesign({ from: 0, to: 2 }))).toThrow(RangeError);
  }
});

test("a missing point changes nothing but its place", () => {
  fc.assert(
    fc.property(series, options, fc.nat(), (values, own, at) => {
      const independent = { ...own, dependence: { share: 0, phi: 0 } };
      const place = at % (values.length + 1);
      const longer = [...values.slice(0, place), null, ...values.slice(place)];
      const plain = drawnValues(drawEwma(singles(values), given(values.length), independent).charts[0]!);
      const held = drawnValues(drawEwma(singles(longer), given(longer.length), independent).charts[0]!);
      expect(held).toEqual([...plain.slice(0, place), null, ...plain.slice(place)]);
    }),
  );
});

test("the variance that limits follow is that of simulated dependent points, a missing one among them", () => {
  const dependence = { share: 0.6, phi: 0.7 };
  const scheme: EwmaScheme = {
    ...stageOf({ lambda: 0.3, width: 3, headStart: null, asymptotic: false, dependence }),
    centre: 0,
    sigma: 1,
  };
  const stage = ewmaStage(scheme);
  const trials = 20_000;
  const squares = [0, 0, 0, 0, 0, 0];
  const variances: number[] = [];
  for (let trial = 0; trial < trials; trial += 1) {
    let state = stage.initial;
    dependentSeries(6, 0.7, 0.6, 1000 + trial).forEach((value, i) => {
      state = stage.step(state, { subgroup: i, atMs: i, value: i === 3 ? null : value, size: 1 }).state;
      squares[i]! += state.off ** 2;
      variances[i] = state.variance;
    });
  }
  variances.forEach((variance, i) => {
    expect(Math.abs(squares[i]! / trials - variance)).toBeLessThan(4 * variance * Math.sqrt(2 / trials));
  });
  // Without the dependence the last would be far smaller.
  expect(variances[5]!).toBeGreaterThan(1.4 * (0.3 / 1.7) * (1 - 0.7 ** 10));
});
