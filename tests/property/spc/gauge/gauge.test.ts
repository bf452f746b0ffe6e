import fc from "fast-check";
import { expect, test } from "vitest";
import { rangeComponents, rangeFactors, studyRanges } from "../../../../spc/gauge/average-range.ts";
import { crossedAnova } from "../../../../spc/gauge/crossed-anova.ts";
import { crossedComponents } from "../../../../spc/gauge/crossed-components.ts";
import { linearityStudy } from "../../../../spc/gauge/linearity.ts";
import { nestedAnova, nestedSums } from "../../../../spc/gauge/nested-anova.ts";

const reading = fc.double({ min: -100, max: 100, noNaN: true });
const studies = fc
  .tuple(fc.integer({ min: 2, max: 5 }), fc.integer({ min: 2, max: 4 }), fc.integer({ min: 2, max: 3 }))
  .chain(([outer, inner, repeats]) => {
    const exactly = (length: number) => ({ minLength: length, maxLength: length });
    return fc.array(fc.array(fc.array(reading, exactly(repeats)), exactly(inner)), exactly(outer));
  });
const each = (study: readonly (readonly (readonly number[])[])[], f: (x: number) => number) =>
  study.map((group) => group.map((cell) => cell.map(f)));
const spread = (study: readonly (readonly (readonly number[])[])[]): number => {
  const all = study.flat(2);
  return Math.max(...all) - Math.min(...all);
};

test("the sums of squares add up to the whole, crossed and nested", () => {
  fc.assert(
    fc.property(studies, (study) => {
      fc.pre(spread(study) > 1e-3);
      const all = study.flat(2);
      const centre = all.reduce((sum, x) => sum + x, 0) / all.length;
      const whole = all.reduce((sum, x) => sum + (x - centre) ** 2, 0);
      const crossed = crossedAnova(study);
      const nested = nestedSums(study);
      if (!crossed.ok || !nested.ok) throw new Error("refused");
      expect(Math.abs(crossed.value.totalSs / whole - 1)).toBeLessThan(1e-9);
      const { outer, inner, repeats } = nested.value.sums;
      expect(Math.abs((outer + inner + repeats) / whole - 1)).toBeLessThan(1e-9);
    }),
  );
});

test("a shift moves no variance, a scale goes in squared", () => {
  fc.assert(
    fc.property(studies, reading, fc.double({ min: 0.1, max: 10, noNaN: true }), (study, shift, scale) => {
      fc.pre(spread(study) > 1);
      const moved = each(study, (x) => shift + scale * x);
      const one = crossedAnova(study);
      const other = crossedAnova(moved);
      const hand = studyRanges(study);
      const handMoved = studyRanges(moved);
      if (!one.ok || !other.ok || !hand.ok || !handMoved.ok) throw new Error("refused");
      const slack = 1e-9 * spread(study) ** 2;
      const [a, b] = [crossedComponents(one.value, 0), crossedComponents(other.value, 0)];
      for (const name of ["equipment", "appraiser", "interaction", "part"] as const) {
        expect(Math.abs(b[name].raw / scale ** 2 - a[name].raw)).toBeLessThan(slack);
      }
      const factors = rangeFactors(hand.value.sizes);
      const [c, d] = [rangeComponents(hand.value, factors), rangeComponents(handMoved.value, factors)];
      for (const name of ["equipment", "appraiser", "part"] as const) {
        expect(Math.abs(d[name].raw / scale ** 2 - c[name].raw)).toBeLessThan(slack);
      }
    }),
  );
});

test("whatever is read, a study gives numbers or a refusal", () => {
  const hostile = fc.constantFrom(0, 1e-300, 1e300, -1e300, 1e7 + 0.1, 1e7 + 0.2, 1, 1 + 1e-15, 5e-324);
  const four = fc.array(hostile, { minLength: 8, maxLength: 8 });
  const numbers = (value: unknown): readonly number[] =>
    typeof value === "number"
      ? [value]
      : value !== null && typeof value === "object"
        ? Object.values(value).flatMap(numbers)
        : [];
  fc.assert(
    fc.property(four, ([a, b, c, d, e, f, g, h]) => {
      const study = [
        [
          [a!, b!],
          [c!, d!],
        ],
        [
          [e!, f!],
          [g!, h!],
        ],
      ];
      const crossed = crossedAnova(study);
      const nested = nestedSums(study);
      const line = linearityStudy([
        { reference: 1, readings: [a!, b!, c!] },
        { reference: 2, readings: [d!, e!, f!] },
      ]);
      const found = [
        crossed.ok ? [crossed.value, crossedComponents(crossed.value, 0.05)] : [],
        nested.ok ? nestedAnova(nested.value.sums, nested.value.sizes) : [],
        line.ok ? line.value : [],
      ];
      for (const number of numbers(found)) expect(Number.isFinite(number)).toBe(true);
    }),
    { numRuns: 500 },
  );
});
