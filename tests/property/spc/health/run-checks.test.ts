import fc from "fast-check";
import { expect, test } from "vitest";
import { dropoutIn } from "../../../../spc/health/dropout.ts";
import { slowProbe } from "../../../../spc/health/slow-probe.ts";
import { spikesIn } from "../../../../spc/health/spikes.ts";
import { zeroAt } from "../../../../spc/health/zero.ts";
import { normals, uniforms } from "../seeded.ts";

const seed = fc.integer({ min: 1, max: 1e9 });

test("noise alone makes no spike, whatever the level does", () => {
  fc.assert(
    fc.property(seed, fc.double({ min: -2, max: 2, noNaN: true }), (from, slope) => {
      const next = normals(from);
      const readings = Array.from({ length: 1_500 }, (_, i) => ({
        tMs: i * 50,
        value: slope * i * 0.001 + 0.006 * next(),
      }));
      const plan = { span: 3.5, noise: 0.006, everyMs: 50, unit: "bar" };
      expect(spikesIn(readings, plan)?.verdict).toBe("well");
    }),
  );
});

test("every lonely spike above the mark is counted, up or down", () => {
  fc.assert(
    fc.property(
      seed,
      fc.uniqueArray(fc.integer({ min: 1, max: 98 }), { minLength: 3, maxLength: 20 }),
      (from, places) => {
        const next = normals(from);
        const readings = Array.from({ length: 300 }, (_, i) => ({ tMs: i * 50, value: 0.006 * next() }));
        for (const place of places) readings[3 * place]!.value += place % 2 === 0 ? 0.3 : -0.3;
        const plan = { span: 3.5, noise: 0.006, everyMs: 50, unit: "bar" };
        expect(spikesIn(readings, plan)?.says).toContain(`${places.length} of 300 readings`);
      },
    ),
  );
});

test("a true zero is found off by chance less than once in 20,000 runs, and one twice its tolerance always", () => {
  const next = normals(11);
  const plan = { is: 0, within: 0.016, noise: 0.006, where: "at rest", unit: "bar" };
  const run = (off: number) => Array.from({ length: 40 }, (_, i) => ({ tMs: i, value: off + 0.006 * next() }));
  const verdicts = (off: number, runs: number) =>
    new Set(Array.from({ length: runs }, () => zeroAt(run(off), plan)?.verdict));
  expect([...verdicts(0, 20_000)]).toEqual(["well"]);
  expect([...verdicts(0.016, 2_000)]).toEqual(["well"]);
  expect([...verdicts(0.032, 2_000)]).toEqual(["fault"]);
});

test("readings lost one by one at the rate of a poor network never make a dropout", () => {
  const next = uniforms(5);
  for (let run = 0; run < 300; run += 1) {
    const readings = Array.from({ length: 1_600 }, (_, i) => ({ tMs: i * 50, value: 1 })).filter(() => next() > 0.02);
    const input = { readings, fromMs: 0, toMs: 80_000, everyMs: 50, others: [] };
    expect(dropoutIn(input)?.verdict).toBe("well");
  }
});

test("with noise of a hundredth of the step, twice the healthy time constant is never passed and four times always", () => {
  fc.assert(
    fc.property(seed, (from) => {
      const next = normals(from);
      const fall = (tau: number) => ({
        readings: Array.from({ length: 400 }, (_, i) => ({
          tMs: i * 50,
          value: 0.9 * Math.exp(-i / 20 / tau) + 0.009 * next(),
        })),
        ...{ from: 0.9, to: 0, stepMs: 0, atMostSeconds: 1.8, witness: null },
      });
      expect(slowProbe(fall(0.9))?.verdict).toBe("well");
      expect(slowProbe(fall(3.6))?.verdict).toBe("undecided");
    }),
  );
});
