import fc from "fast-check";
import { expect, test } from "vitest";
import { drawC } from "../../../../spc/drawn/c.ts";
import { drawNp } from "../../../../spc/drawn/np.ts";
import { drawP } from "../../../../spc/drawn/p.ts";
import { drawPPrime } from "../../../../spc/drawn/p-prime.ts";
import { drawU } from "../../../../spc/drawn/u.ts";
import { drawUPrime } from "../../../../spc/drawn/u-prime.ts";
import { usualDesign } from "../../../../spc/model/chart-design.ts";
import { counted } from "../../../../spc/model/counted.ts";
import type { DrawnChart } from "../../../../spc/model/drawn-chart.ts";

/** Samples with their counts: sizes, then a share of each. */
const samples = fc
  .array(fc.tuple(fc.integer({ min: 1, max: 5000 }), fc.double({ min: 0, max: 1, noNaN: true })), {
    minLength: 3,
    maxLength: 40,
  })
  .map((list) => ({ sizes: list.map(([n]) => n), counts: list.map(([n, share]) => Math.round(n * share)) }));

const rows = (chart: DrawnChart): readonly (number | null)[][] =>
  Array.from({ length: chart.values.length }, (_, i) => [
    chart.values.at(i),
    chart.centres.at(i),
    chart.sigmas.at(i),
    chart.lower.at(i),
    chart.upper.at(i),
  ]);

function close(a: DrawnChart, b: DrawnChart, factor = 1): void {
  const other = rows(b).flat();
  rows(a)
    .flat()
    .forEach((value, i) => {
      if (value === null || other[i] == null) expect(value).toBe(other[i]);
      else expect(Math.abs(value - factor * other[i])).toBeLessThanOrEqual(1e-12 * Math.max(1, Math.abs(value)));
    });
}

test("where sigma of z is one, the Laney charts are the classic ones", () => {
  fc.assert(
    fc.property(samples, ({ sizes, counts }) => {
      const data = counted(counts, sizes);
      const design = usualDesign({ from: 0, to: counts.length });
      for (const [laney, classic] of [[drawPPrime, drawP] as const, [drawUPrime, drawU] as const]) {
        const one = laney(data, { ...design, sigma: 1 }).charts[0]!;
        const other = classic(data, design).charts[0]!;
        expect(rows(one)).toEqual(rows(other));
      }
    }),
  );
});

test("a sigma of z below one never narrows unless asked to", () => {
  fc.assert(
    fc.property(samples, ({ sizes, counts }) => {
      const data = counted(counts, sizes);
      const design = usualDesign({ from: 0, to: counts.length });
      const drawn = drawUPrime(data, design);
      const narrow = drawUPrime(data, design, { narrow: true }).charts[0]!;
      const classic = drawU(data, design).charts[0]!;
      const chart = drawn.charts[0]!;
      if (chart.refusal !== null) return;
      expect(chart.upper.at(0)!).toBeGreaterThanOrEqual(classic.upper.at(0)!);
      const isNarrow = narrow.upper.at(0)! < classic.upper.at(0)!;
      expect(drawn.cautions.map(({ code }) => code)).toEqual(isNarrow ? ["underdispersed"] : []);
    }),
  );
});

test("u with equal sizes is c, scaled, and np is p", () => {
  fc.assert(
    fc.property(
      fc.array(fc.integer({ min: 0, max: 1000 }), { minLength: 2, maxLength: 40 }),
      fc.constantFrom(1, 2, 0.3, 1e4, 1e-4),
      fc.constantFrom("sigma" as const, "exact" as const),
      (counts, size, limits) => {
        const design = { ...usualDesign({ from: 0, to: counts.length }), limits };
        const [u, c] = [drawU, drawC].map((draw) => draw(counted(counts, size), design));
        expect(u!.charts[0]!.refusal).toEqual(c!.charts[0]!.refusal);
        close(c!.charts[0]!, u!.charts[0]!, size);
        expect(u!.cautions).toEqual(c!.cautions);
        const [p, np] = [drawP, drawNp].map((draw) => draw(counted(counts, 1000), design).charts[0]!);
        close(np!, p!, 1000);
      },
    ),
  );
});

test("whatever the counts, no number is NaN or infinite", () => {
  const hostile = fc.constantFrom(0, 1, 2, 1000, 2 ** 53 - 1, null);
  const sizes = fc.constantFrom(0, 1e-320, 1e-300, 1, 2.5, 2 ** 53 - 1, 1e300, 1.7e308, null);
  fc.assert(
    fc.property(fc.array(fc.tuple(hostile, sizes), { maxLength: 6 }), (list) => {
      const data = counted(
        list.map(([count]) => count),
        list.map(([, size]) => size),
      );
      for (const draw of [drawC, drawU, drawUPrime]) {
        const { charts, cautions } = draw(data, usualDesign({ from: 0, to: list.length }));
        for (const value of rows(charts[0]!).flat()) expect(value === null || Number.isFinite(value)).toBe(true);
        expect(JSON.stringify(cautions)).not.toMatch(/NaN|Infinity/);
        const [lower, upper] = [charts[0]!.lower, charts[0]!.upper];
        list.forEach((_, place) => {
          expect(lower.at(place) === null).toBe(upper.at(place) === null);
        });
      }
    }),
  );
});
