import fc from "fast-check";
import { expect, test } from "vitest";
import { drawMewma } from "../../../../spc/drawn/mewma.ts";
import { drawT2 } from "../../../../spc/drawn/t2.ts";
import { decompose } from "../../../../spc/drawn/vector-decompose.ts";
import { estimateVectors } from "../../../../spc/drawn/vector-estimate.ts";
import { usualDesign } from "../../../../spc/model/chart-design.ts";
import type { DrawnChart } from "../../../../spc/model/drawn-chart.ts";
import { verdictAt } from "../../../../spc/model/drawn-chart.ts";
import { singleVectors, vectorSubgroups } from "../../../../spc/model/vectors.ts";
import { mean, moments } from "../../../../spc/stats/moments.ts";
import { normals } from "../seeded.ts";

const cell = fc.integer({ min: -1000, max: 1000 });
const vectors = (p: number) =>
  fc.array(fc.array(cell, { minLength: p, maxLength: p }), { minLength: 8, maxLength: 30 });

function valuesOf(chart: DrawnChart): readonly (number | null)[] {
  return Array.from({ length: chart.values.length }, (_, place) => chart.values.at(place));
}

function close(a: readonly (number | null)[], b: readonly (number | null)[], tolerance = 1e-7): void {
  expect(a.length).toBe(b.length);
  a.forEach((value, i) => {
    if (value === null || b[i] == null) expect(value).toBe(b[i]);
    else expect(Math.abs(value - b[i])).toBeLessThanOrEqual(tolerance * Math.max(1, Math.abs(value)));
  });
}

test("T2 of one component is z squared", () => {
  fc.assert(
    fc.property(fc.array(cell, { minLength: 4, maxLength: 30 }), (list) => {
      const chart = drawT2(
        singleVectors(
          1,
          list.map((value) => [value]),
        ),
        usualDesign({ from: 0, to: list.length }),
      ).charts[0]!;
      const { mean: centre, sd } = moments(list);
      if (sd === 0) expect(chart.refusal?.code).toBe("zero-variation");
      else
        close(
          valuesOf(chart),
          list.map((value) => ((value - centre) / sd) ** 2),
          1e-10,
        );
    }),
  );
});

test("T2 and MEWMA depend on neither the units nor the zero points of the components, nor on their order", () => {
  fc.assert(
    fc.property(
      vectors(3),
      fc.array(fc.constantFrom(-3, 1e-6, 0.5, 1, 1e5), { minLength: 3, maxLength: 3 }),
      fc.array(fc.constantFrom(0, 7, -1e4), { minLength: 3, maxLength: 3 }),
      (list, b, a) => {
        const design = usualDesign({ from: 0, to: list.length });
        const moved = list.map((vector) => vector.map((value, j) => a[j]! + b[j]! * value));
        const turned = list.map((vector) => vector.toReversed());
        for (const draw of [drawT2, (...args: Parameters<typeof drawT2>) => drawMewma(args[0], args[1], { h: 9 })]) {
          const from = draw(singleVectors(3, list), design).charts[0]!;
          if (from.refusal !== null) return;
          for (const other of [moved, turned])
            close(valuesOf(from), valuesOf(draw(singleVectors(3, other), design).charts[0]!));
        }
      },
    ),
  );
});

test("the parts of T2: with two components each conditional part and the other's own make the whole", () => {
  fc.assert(
    fc.property(vectors(2), (list) => {
      const data = singleVectors(2, list);
      const estimate = estimateVectors(data, usualDesign({ from: 0, to: list.length }));
      if (!estimate.ok) return;
      const { t2, parts } = decompose(data, 0, estimate.value)!;
      const [first, second] = [parts[0]!, parts[1]!];
      expect(Math.abs(first.unconditional + second.conditional - t2)).toBeLessThanOrEqual(1e-9 * Math.max(1, t2));
      expect(Math.abs(second.unconditional + first.conditional - t2)).toBeLessThanOrEqual(1e-9 * Math.max(1, t2));
    }),
  );
});

test.each([
  ["single vectors", 1, 30, 3],
  ["subgroups", 4, 12, 2],
] as const)("%s: chance passes the limits as often as alpha says, in Phase 1 and in Phase 2", (_, n, m, p) => {
  const next = normals(77);
  const alpha = 0.02;
  const rounds = 1500;
  const later = 3;
  // Points of one round share their estimate, so whole rounds are what is independent.
  const shares: [number[], number[]] = [[], []];
  for (let round = 0; round < rounds; round += 1) {
    const lists = Array.from({ length: m + later }, () =>
      Array.from({ length: n }, () => Array.from({ length: p }, next)),
    );
    const chart = drawT2(vectorSubgroups(p, lists), usualDesign({ from: 0, to: m }), { alpha }).charts[0]!;
    const above = lists.map((__, place) => (verdictAt(chart, place) === "above" ? 1 : 0) as number);
    shares[0].push(mean(above.slice(0, m)));
    shares[1].push(mean(above.slice(m)));
  }
  for (const phase of shares) {
    const { mean: seen, sd } = moments(phase);
    expect(Math.abs(seen - alpha)).toBeLessThanOrEqual((4 * sd) / Math.sqrt(rounds));
  }
});

test("subgroups of unequal sizes keep to alpha too", () => {
  const next = normals(5);
  const rounds = 1500;
  const shares: number[] = [];
  for (let round = 0; round < rounds; round += 1) {
    const lists = Array.from({ length: 10 }, (_, i) =>
      Array.from({ length: 1 + (i % 4) * 2 }, () => Array.from({ length: 2 }, next)),
    );
    const chart = drawT2(vectorSubgroups(2, lists), usualDesign({ from: 0, to: 10 }), { alpha: 0.02 }).charts[0]!;
    shares.push(mean(lists.map((_, place) => (verdictAt(chart, place) === "above" ? 1 : 0) as number)));
  }
  const { mean: seen, sd } = moments(shares);
  expect(Math.abs(seen - 0.02)).toBeLessThanOrEqual((4 * sd) / Math.sqrt(rounds));
});

test("with successive differences Phase 1 keeps near alpha, on average over the baseline", () => {
  const next = normals(6);
  const shares = Array.from({ length: 1500 }, () => {
    const list = Array.from({ length: 30 }, () => [next(), next()]);
    const chart = drawT2(singleVectors(2, list), usualDesign({ from: 0, to: 30 }), {
      alpha: 0.02,
      spread: "successive",
    });
    return mean(list.map((_, place) => (verdictAt(chart.charts[0]!, place) === "above" ? 1 : 0) as number));
  });
  expect(mean(shares)).toBeGreaterThan(0.016);
  expect(mean(shares)).toBeLessThan(0.024);
});

test("whatever the vectors, no number is NaN or infinite", () => {
  const hostile = fc.constantFrom(0, 1, -1, 5e-324, 1e-300, 1e7 + 0.1, 1e300, -1.7e308, 1.7e308, null);
  fc.assert(
    fc.property(
      fc.array(fc.array(fc.tuple(hostile, hostile), { maxLength: 3 }), { maxLength: 12 }),
      fc.nat(),
      fc.constantFrom("ordinary" as const, "successive" as const),
      (lists, part, spread) => {
        const data = vectorSubgroups(2, lists);
        const design = usualDesign({ from: 0, to: lists.length === 0 ? 0 : part % (lists.length + 1) });
        for (const { charts, cautions } of [
          drawT2(data, design, { spread }),
          drawMewma(data, design, { h: 9, spread }),
        ]) {
          for (const { values, upper } of charts) {
            for (let place = 0; place < lists.length; place += 1)
              for (const column of [values, upper])
                expect(column.at(place) === null || Number.isFinite(column.at(place))).toBe(true);
          }
          expect(JSON.stringify(cautions)).not.toMatch(/NaN|Infinity/);
          // A place that holds a vector is plotted wherever there are limits.
          if (charts[0]!.refusal === null)
            lists.forEach((_, place) => {
              const isEmpty = data.starts[place] === data.starts[place + 1];
              expect(charts[0]!.values.at(place) === null).toBe(isEmpty);
            });
        }
      },
    ),
  );
});
