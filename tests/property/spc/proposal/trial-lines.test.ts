import fc from "fast-check";
import { expect, test } from "vitest";
import type { Characteristic } from "../../../../spc/model/characteristic.ts";
import { plateau } from "../../../unit/spc/press-fixtures.ts";
import { left, requestOf, trialOf, windowOf } from "../../../unit/spc/proposal/trial-cases.ts";
import { normals } from "../seeded.ts";

const charts: readonly Characteristic[] = [
  plateau,
  { ...plateau, chart: "averages-with-s", subgroup: { runs: 3 } },
  { ...plateau, chart: "ewma", ewma: { lambda: 0.3, width: 2.9 } },
];

test("whatever the window, its gaps, its missing runs and what is left out: the lines drawn are those that would rule", () => {
  let compared = 0;
  fc.assert(
    fc.property(
      fc.record({
        chart: fc.constantFrom(...charts),
        basis: fc.constantFrom("chart" as const, "overall" as const),
        seed: fc.nat(10_000),
        runs: fc.integer({ min: 30, max: 220 }),
        missing: fc.array(fc.nat(219), { maxLength: 8 }),
        pauses: fc.array(fc.nat(219), { maxLength: 4 }),
        out: fc.uniqueArray(fc.nat(219), { maxLength: 5 }),
      }),
      ({ chart: characteristic, basis, seed, runs, missing, pauses, out }) => {
        const next = normals(seed);
        const values = Array.from({ length: runs }, (_, i) => (missing.includes(i) ? null : 0.92 + 0.004 * next()));
        const window = windowOf(values, Object.fromEntries(pauses.map((place) => [place, 40 * plateau.everyMs])));
        const exclusions = out.filter((place) => place < runs).map((place) => left(place));
        const trial = trialOf(requestOf(window, { characteristic, basis, exclusions }));
        for (const [side, key] of [
          [trial.trial, "trial"],
          [trial.revised, "revised"],
        ] as const) {
          if (side === null || !side.ok) continue;
          const { location, spread } = side.value.limits;
          const size = characteristic.subgroup?.runs ?? 1;
          for (const { members, excluded, ...point } of trial.points) {
            const judged = point[key];
            const full = members.filter(({ value }) => value !== null).length === size;
            if (judged === null || excluded || !full || judged.location.value === null) continue;
            expect(judged.location.centre).toBeCloseTo(location.centre, 12);
            // A weighted mean's own lines widen from its start towards the settled ones.
            if (characteristic.chart === "ewma") {
              expect(judged.location.upper! - location.upper).toBeLessThan(1e-12);
            } else expect(judged.location.upper).toBeCloseTo(location.upper, 12);
            if (judged.spread.value !== null) expect(judged.spread.upper).toBeCloseTo(spread.upper, 12);
            compared += 1;
          }
          // Nothing left out is counted in, and no point is within limits that are not there.
          const kept = trial.points.filter(({ excluded, value }) => value !== null && !(key === "revised" && excluded));
          expect(side.value.limits.baseline.n).toBe(kept.length);
        }
        for (const { trial: judged } of trial.points) {
          if (!trial.trial.ok) expect(judged.location.verdict).toBe("not-evaluable");
          if (judged.location.value === null) expect(judged.location.verdict).toBe("not-evaluable");
        }
        // JSON would write null for them.
        const told = JSON.stringify(trial, (_, one) =>
          Number.isFinite(one) || typeof one !== "number" ? one : "no number",
        );
        expect(told).not.toContain("no number");
      },
    ),
    { numRuns: 60 },
  );
  expect(compared).toBeGreaterThan(1_000);
});
