import { expect, test } from "vitest";
import { drawC } from "../../../../spc/drawn/c.ts";
import type { CountLaw } from "../../../../spc/drawn/count-law.ts";
import { chanceBeyond } from "../../../../spc/drawn/count-law.ts";
import { drawNp } from "../../../../spc/drawn/np.ts";
import { drawP } from "../../../../spc/drawn/p.ts";
import { drawU } from "../../../../spc/drawn/u.ts";
import { binomialCdf, poissonCdf } from "../../../../spc/library/counts.ts";
import type { ChartDesign } from "../../../../spc/model/chart-design.ts";
import { usualDesign } from "../../../../spc/model/chart-design.ts";
import { counted } from "../../../../spc/model/counted.ts";
import type { DrawnCharts } from "../../../../spc/model/drawn-chart.ts";
import { verdictAt } from "../../../../spc/model/drawn-chart.ts";
import { uniforms } from "../seeded.ts";

const POINTS = 100_000;

/** Counts of that law, by its distribution function turned round. */
function draws(law: CountLaw, size: number, rate: number, seed: number): readonly number[] {
  const next = uniforms(seed);
  const upTo: number[] = [];
  for (let x = 0; (upTo.at(-1) ?? 0) < 1 - 1e-13 && x <= 10 * size * rate + 100; x += 1)
    upTo.push(law === "poisson" ? poissonCdf(x, size * rate) : x >= size ? 1 : binomialCdf(x, size, rate));
  return Array.from({ length: POINTS }, () => {
    const u = next();
    const at = upTo.findIndex((share) => u <= share);
    return at < 0 ? upTo.length : at;
  });
}

type Draw = (data: ReturnType<typeof counted>, design: ChartDesign) => DrawnCharts;

test.each([
  ["p", drawP, "binomial", 50, 0.2313, 1],
  ["np", drawNp, "binomial", 200, 0.02, 200],
  ["c", drawC, "poisson", 1, 16, 1],
  ["c of few", drawC, "poisson", 1, 2.2, 1],
  ["u", drawU, "poisson", 2.5, 3.1, 1],
] as const)(
  "%s: chance passes the limits as often as the tails of its law say",
  (_, draw: Draw, law, size, rate, per) => {
    const counts = draws(law, size, rate, 20_261_125);
    for (const limits of ["sigma", "exact"] as const) {
      const design = { ...usualDesign({ from: 0, to: POINTS }), limits, centre: rate * per };
      const { charts, cautions } = draw(counted(counts, size), design);
      const chart = charts[0]!;
      const scale = draw === drawC || draw === drawNp ? 1 : size;
      const own = { lower: chart.lower.at(0)! * scale, upper: chart.upper.at(0)! * scale };
      const exact = chanceBeyond(law, size, rate, own);
      const seen = { below: 0, within: 0, above: 0 };
      for (let place = 0; place < POINTS; place += 1) {
        const verdict = verdictAt(chart, place);
        if (verdict !== "not-evaluable") seen[verdict] += 1;
      }
      expect(seen.below + seen.within + seen.above).toBe(POINTS);
      for (const side of ["below", "above"] as const) {
        const p = exact[side];
        const standardError = Math.sqrt((p * (1 - p)) / POINTS);
        expect(Math.abs(seen[side] / POINTS - p), `${limits} ${side} ${p}`).toBeLessThanOrEqual(4 * standardError);
      }
      if (limits === "exact") expect(exact.below + exact.above).toBeLessThanOrEqual(0.0027);
      // A hundred thousand draws of the law itself are neither over- nor underdispersed.
      expect(cautions.filter(({ code }) => /dispersed/.test(code))).toEqual([]);
    }
  },
);
