import fc from "fast-check";
import { expect, test } from "vitest";
import { changePointKnownCentre } from "../../../../spc/changepoint/known-centre.ts";
import { changePointPosterior } from "../../../../spc/changepoint/posterior.ts";
import { twoLevels } from "../../../../spc/changepoint/two-levels.ts";
import { changePointUnknown } from "../../../../spc/changepoint/unknown-levels.ts";
import { mean } from "../../../../spc/stats/moments.ts";
import { normals } from "../seeded.ts";
import { finiteThroughout, hostile, plain } from "../stats/hostile-series.ts";

/** A step of a few sigma among 10 to 80 values. */
const stepped = fc
  .record({
    seed: fc.integer(),
    n: fc.integer({ min: 10, max: 80 }),
    share: fc.double({ min: 0.2, max: 0.8, noNaN: true }),
    size: fc.integer({ min: 0, max: 6 }),
  })
  .map(({ seed, n, share, size }) => {
    const next = normals(seed);
    return Array.from({ length: n }, (_, i) => next() + (i >= share * n ? size : 0));
  });

test("running sums find the place that trying every cut finds", () => {
  fc.assert(
    fc.property(plain, fc.integer({ min: -5, max: 5 }), (values, centre) => {
      const known = changePointKnownCentre(values, centre, 2);
      const n = values.length;
      const criteria = values.map((_, t) => (n - t) * ((mean(values.slice(t)) - centre) / 2) ** 2);
      if (known.ok) {
        expect(known.value.criterion).toBeCloseTo(Math.max(...criteria), 6);
        expect(criteria[known.value.index]).toBeCloseTo(known.value.criterion, 6);
        expect(known.value.set).toContain(known.value.index);
      }
      const cut = twoLevels(values);
      if (!cut.ok) return;
      const explained = (k: number): number =>
        ((k * (n - k)) / n) * (mean(values.slice(0, k)) - mean(values.slice(k))) ** 2;
      const best = Math.max(...values.slice(1).map((_, i) => explained(i + 1)));
      expect(explained(cut.value.index)).toBeCloseTo(best, 6);
      expect(cut.value.before).toBeCloseTo(mean(values.slice(0, cut.value.index)), 9);
      expect(cut.value.after).toBeCloseTo(mean(values.slice(cut.value.index)), 9);
    }),
  );
});

test("a change point asks for neither unit nor origin", () => {
  fc.assert(
    fc.property(stepped, fc.integer({ min: -50, max: 50 }), fc.constantFrom(-4, 0.5, 2), (values, a, b) => {
      const moved = values.map((value) => a + b * value);
      const one = changePointUnknown(values);
      const other = changePointUnknown(moved);
      expect(other.ok).toBe(one.ok);
      if (one.ok && other.ok) {
        expect(other.value.index).toBe(one.value.index);
        expect(other.value.set).toEqual(one.value.set);
        expect(other.value.f).toBeCloseTo(one.value.f, 6);
        expect(other.value.after).toBeCloseTo(a + b * one.value.after, 8);
      }
      const known = changePointKnownCentre(values, 0, 1);
      const again = changePointKnownCentre(moved, a, Math.abs(b));
      expect(again.ok && again.value.set).toEqual(known.ok && known.value.set);
      expect(again.ok && again.value.index).toBe(known.ok && known.value.index);
    }),
  );
});

test("read backwards, a change between unknown levels lies at the same place", () => {
  fc.assert(
    fc.property(stepped, (values) => {
      const one = changePointUnknown(values);
      const back = changePointUnknown(values.toReversed());
      expect(back.ok).toBe(one.ok);
      if (one.ok && back.ok) expect(values.length - back.value.index).toBe(one.value.index);
    }),
  );
});

test.each(hostile)("no change point of %s is NaN or infinite", (_, values) => {
  const answers = [
    changePointUnknown(values),
    changePointPosterior(values),
    values.length > 0 ? changePointKnownCentre(values, 1, 0.5) : null,
  ];
  for (const answer of answers) expect(finiteThroughout(answer)).toBe(true);
});
