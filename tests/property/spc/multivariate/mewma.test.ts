import fc from "fast-check";
import { expect, test } from "vitest";
import { drawEwma } from "../../../../spc/drawn/ewma.ts";
import { drawMewma } from "../../../../spc/drawn/mewma.ts";
import { drawT2 } from "../../../../spc/drawn/t2.ts";
import { estimateVectors } from "../../../../spc/drawn/vector-estimate.ts";
import type { MewmaInput } from "../../../../spc/drawn/vector-mewma.ts";
import { mewmaStage } from "../../../../spc/drawn/vector-mewma.ts";
import { usualDesign } from "../../../../spc/model/chart-design.ts";
import { subgroups } from "../../../../spc/model/grouped.ts";
import { advance } from "../../../../spc/model/stage.ts";
import { singleVectors, vectorSubgroups } from "../../../../spc/model/vectors.ts";
import { mewmaLimitFor, mewmaRunLength } from "../../../../spc/price/mewma-run-length.ts";
import { moments } from "../../../../spc/stats/moments.ts";
import { normals } from "../seeded.ts";

const cell = fc.integer({ min: -1000, max: 1000 });

test("MEWMA of one component is EWMA squared, over subgroups of any size and empty places", () => {
  fc.assert(
    fc.property(
      fc.array(fc.array(cell, { maxLength: 4 }), { minLength: 2, maxLength: 30 }),
      fc.constantFrom(0.05, 0.2, 1),
      (lists, lambda) => {
        const design = usualDesign({ from: 0, to: lists.length });
        const known = { mean: [7], covariance: [[250 ** 2]] };
        const vectors = vectorSubgroups(
          1,
          lists.map((list) => list.map((value) => [value])),
        );
        const mewma = drawMewma(vectors, design, { lambda, h: 9, known }).charts[0]!;
        const ewma = drawEwma(subgroups(lists), { ...design, centre: 7, sigma: 250 }, { lambda, width: 3 }).charts[0]!;
        lists.forEach((_, place) => {
          const value = ewma.values.at(place);
          if (value === null) expect(mewma.values.at(place)).toBeNull();
          else expect(mewma.values.at(place)!).toBeCloseTo(((value - 7) / ewma.sigmas.at(place)!) ** 2, 8);
        });
      },
    ),
  );
});

test("without memory MEWMA is T2", () => {
  fc.assert(
    fc.property(fc.array(fc.tuple(cell, cell), { minLength: 6, maxLength: 30 }), (list) => {
      const data = singleVectors(2, list);
      const design = usualDesign({ from: 0, to: list.length });
      const [mewma, t2] = [drawMewma(data, design, { lambda: 1, h: 9 }).charts[0]!, drawT2(data, design).charts[0]!];
      list.forEach((_, place) => {
        if (t2.values.at(place) === null) expect(mewma.values.at(place)).toBeNull();
        else expect(mewma.values.at(place)!).toBeCloseTo(t2.values.at(place)!, 8);
      });
    }),
  );
});

test("wherever the stream is cut and goes on from a written state, the same comes out", () => {
  const known = {
    mean: [0, 0],
    covariance: [
      [1, 0.5],
      [0.5, 1],
    ],
  };
  const estimate = estimateVectors(singleVectors(2, []), usualDesign({ from: 0, to: 0 }), "ordinary", known);
  if (!estimate.ok) throw new Error(estimate.refusal.detail);
  const stage = mewmaStage(estimate.value, 0.2);
  const input: fc.Arbitrary<MewmaInput> = fc.record({
    z: fc.option(fc.array(fc.integer({ min: -4, max: 4 }), { minLength: 2, maxLength: 2 })),
    n: fc.integer({ min: 1, max: 5 }),
  });
  fc.assert(
    fc.property(fc.array(input, { maxLength: 20 }), fc.nat(20), (inputs, cut) => {
      const whole = advance(stage, inputs).out;
      const first = advance(stage, inputs.slice(0, cut));
      const state = JSON.parse(JSON.stringify(first.state)) as typeof first.state;
      expect([...first.out, ...advance(stage, inputs.slice(cut), state).out]).toEqual(whole);
    }),
  );
  expect(() => mewmaStage(estimate.value, 0)).toThrow(RangeError);
});

test("simulated run lengths with the settled covariance are what the integral equation says", () => {
  const [p, lambda, wanted] = [3, 0.1, 60];
  const h = mewmaLimitFor(p, lambda, wanted);
  expect(mewmaRunLength(p, lambda, h)).toBeCloseTo(wanted, 8);
  const next = normals(31);
  const settled = lambda / (2 - lambda);
  const lengths = Array.from({ length: 8000 }, () => {
    const z = new Array<number>(p).fill(0);
    for (let t = 1; ; t += 1) {
      let square = 0;
      for (let j = 0; j < p; j += 1) {
        z[j] = lambda * next() + (1 - lambda) * z[j]!;
        square += z[j]! ** 2;
      }
      if (square > h * settled) return t;
    }
  });
  const { mean, sd } = moments(lengths);
  expect(Math.abs(mean - wanted)).toBeLessThanOrEqual((4 * sd) / Math.sqrt(lengths.length));
});
