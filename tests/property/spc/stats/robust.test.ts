import fc from "fast-check";
import { expect, test } from "vitest";
import { kthOfDifferences, kthOfSums } from "../../../../spc/stats/kth-pair.ts";
import { madSigma } from "../../../../spc/stats/mad.ts";
import { hodgesLehmann, trimmedMean } from "../../../../spc/stats/robust-centre.ts";
import { interquartileSigma, medianMovingRangeSigma, qnSigma } from "../../../../spc/stats/robust-scale.ts";
import { screening } from "../../../../spc/stats/screening.ts";
import { finiteThroughout, hostile, plain } from "./hostile-series.ts";

const centres = [(x: readonly number[]) => trimmedMean(x, 0.2), hodgesLehmann];
const sigmas = [
  (x: readonly number[]) => {
    const found = madSigma(x);
    return found.ok ? found.value.sigma : null;
  },
  ...[qnSigma, interquartileSigma, medianMovingRangeSigma].map((of) => (x: readonly number[]) => {
    const found = of(x);
    return found.ok ? found.value : null;
  }),
];

test("a pair found by counting is the one found by listing all pairs", () => {
  fc.assert(
    fc.property(plain, fc.double({ min: 0, max: 1, noNaN: true }), (values, share) => {
      const sorted = Float64Array.from(values).sort();
      const sums: number[] = [];
      const differences: number[] = [];
      sorted.forEach((later, i) => {
        for (let j = 0; j <= i; j += 1) sums.push(later + sorted[j]!);
        for (let j = 0; j < i; j += 1) differences.push(later - sorted[j]!);
      });
      for (const [list, kth] of [
        [sums, kthOfSums],
        [differences, kthOfDifferences],
      ] as const) {
        list.sort((a, b) => a - b);
        const k = 1 + Math.floor(share * (list.length - 1));
        expect(kth(sorted, k) - list[k - 1]!).toBe(0);
        expect(() => kth(sorted, 0)).toThrow(RangeError);
        expect(() => kth(sorted, list.length + 1)).toThrow(RangeError);
      }
    }),
  );
});

test("robust centres move, and robust sigmas stretch, with the values", () => {
  fc.assert(
    fc.property(plain, fc.integer({ min: -50, max: 50 }), fc.constantFrom(-4, 0.5, 2), (values, a, b) => {
      const whole = values.map(Math.round);
      const moved = whole.map((value) => a + b * value);
      for (const of of centres) expect(of(moved)).toBeCloseTo(a + b * of(whole), 9);
      for (const of of sigmas) {
        const one = of(whole);
        const other = of(moved);
        expect(other === null).toBe(one === null);
        if (one !== null) expect(other).toBeCloseTo(Math.abs(b) * one, 9);
      }
      const asked = screening(whole);
      const again = screening(moved);
      expect(again.ok && again.value.questions).toEqual(asked.ok && asked.value.questions);
    }),
  );
});

test("order means nothing to a robust centre, nor to a sigma that asks for none", () => {
  fc.assert(
    fc.property(plain, (values) => {
      const back = values.toReversed();
      for (const of of centres) expect(of(back)).toBeCloseTo(of(values), 12);
      for (const of of sigmas.slice(0, 3)) expect(of(back)).toBe(of(values));
    }),
  );
});

test.each(hostile)("no robust estimate of %s is NaN or infinite", (_, values) => {
  const answers = [
    ...(values.length > 0 ? centres.map((of) => of(values)) : []),
    ...sigmas.map((of) => of(values)),
    screening(values),
  ];
  for (const answer of answers) expect(finiteThroughout(answer)).toBe(true);
});
