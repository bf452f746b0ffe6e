import fc from "fast-check";
import { expect, test } from "vitest";
import { drawG } from "../../../../spc/drawn/g.ts";
import { drawT } from "../../../../spc/drawn/t.ts";
import { usualDesign } from "../../../../spc/model/chart-design.ts";
import type { DrawnChart } from "../../../../spc/model/drawn-chart.ts";
import { verdictAt } from "../../../../spc/model/drawn-chart.ts";
import { singles } from "../../../../spc/model/grouped.ts";
import { uniforms } from "../seeded.ts";

const POINTS = 100_000;

function shares(chart: DrawnChart): { readonly below: number; readonly above: number } {
  const seen = { below: 0, above: 0 };
  for (let place = 0; place < POINTS; place += 1) {
    const verdict = verdictAt(chart, place);
    if (verdict === "below" || verdict === "above") seen[verdict] += 1;
  }
  return { below: seen.below / POINTS, above: seen.above / POINTS };
}

const within = (seen: number, p: number): void =>
  expect(Math.abs(seen - p)).toBeLessThanOrEqual(4 * Math.sqrt((p * (1 - p)) / POINTS));

test.each(["sigma", "exact"] as const)("g, %s limits: chance passes them as often as the geometric says", (limits) => {
  const next = uniforms(8);
  const p = 0.018;
  const units = Array.from({ length: POINTS }, () => Math.floor(Math.log(1 - next()) / Math.log1p(-p)));
  const design = { ...usualDesign({ from: 0, to: POINTS }), limits, centre: 1 / p - 1 };
  const chart = drawG(singles(units), design).charts[0]!;
  const { below, above } = shares(chart);
  within(above, (1 - p) ** (Math.floor(chart.upper.at(0)!) + 1));
  expect(below).toBe(0);
});

test.each(["sigma", "exact"] as const)(
  "t, %s limits: chance passes them as often as the exponential says",
  (limits) => {
    const next = uniforms(9);
    const times = Array.from({ length: POINTS }, () => -14 * Math.log(1 - next()));
    const design = { ...usualDesign({ from: 0, to: POINTS }), limits };
    const chart = drawT(singles(times), design).charts[0]!;
    const { below, above } = shares(chart);
    within(above, Math.exp(-chart.upper.at(0)! / 14));
    within(below, 1 - Math.exp(-chart.lower.at(0)! / 14));
    if (limits === "exact") within(above, 0.00135);
  },
);

test("times in another unit give the same verdicts and lines in that unit", () => {
  fc.assert(
    fc.property(
      // Another unit of the smallest numbers there are loses their last bits; a clock gives none of them.
      fc.array(
        fc.double({ min: 0, max: 1e6, noNaN: true }).map((time) => (time < 1e-9 ? 0 : time)),
        {
          minLength: 2,
          maxLength: 30,
        },
      ),
      fc.constantFrom(60, 1e-3, 1e9),
      fc.constantFrom("sigma" as const, "exact" as const),
      (times, b, limits) => {
        const design = { ...usualDesign({ from: 0, to: times.length }), limits };
        const from = drawT(singles(times), design).charts[0]!;
        const to = drawT(singles(times.map((time) => b * time)), design).charts[0]!;
        expect(to.refusal?.code).toBe(from.refusal?.code);
        if (from.refusal !== null) return;
        for (const line of ["centres", "lower", "upper", "sigmas"] as const) {
          const scale = b * from.upper.at(0)!;
          expect(Math.abs(to[line].at(0)! - b * from[line].at(0)!)).toBeLessThanOrEqual(1e-9 * scale);
        }
      },
    ),
  );
});

test("whatever the waits, no number is NaN or infinite", () => {
  const hostile = fc.constantFrom(0, 5e-324, 1e-300, 1, 2, 1e7 + 0.1, 1e300, 1.7e308, null);
  fc.assert(
    fc.property(
      fc.array(hostile, { maxLength: 8 }),
      fc.constantFrom("sigma" as const, "exact" as const),
      (waits, limits) => {
        const design = { ...usualDesign({ from: 0, to: waits.length }), limits };
        const whole = waits.map((wait) => (wait === null ? null : Math.min(Math.round(wait), 2 ** 53 - 1)));
        for (const { charts, cautions } of [drawT(singles(waits), design), drawG(singles(whole), design)]) {
          const { centres, sigmas, lower, upper, values } = charts[0]!;
          for (const column of [centres, sigmas, lower, upper, values])
            for (let place = 0; place < waits.length; place += 1)
              expect(column.at(place) === null || Number.isFinite(column.at(place))).toBe(true);
          if (waits.length > 0) expect(lower.at(0) === null).toBe(upper.at(0) === null);
          expect(JSON.stringify(cautions)).not.toMatch(/NaN|Infinity/);
        }
      },
    ),
  );
});
