import fc from "fast-check";
import { expect, test } from "vitest";
import { capabilityOf } from "../../../../spc/capability/capability-of.ts";
import type { CapabilityRequest } from "../../../../spc/capability/capability-request.ts";
import { moments } from "../../../../spc/stats/moments.ts";

const names = ["cp", "cpk", "pp", "ppk", "cpm"] as const;
const values = fc.array(fc.double({ min: -1000, max: 1000, noNaN: true }), { minLength: 25, maxLength: 60 });

function askOf(data: readonly number[], specification: { lower: number; upper: number; target: number }) {
  const { n, mean, sd } = moments(data);
  // Within sigma from outside: its own tests lie with the charts.
  return capabilityOf({
    n,
    mean,
    sigmaWithin: 0.9 * sd,
    dfWithin: n / 2,
    sigmaOverall: sd,
    ...specification,
    confidence: 0.95,
    stable: true,
    autocorrelated: false,
    distinct: 20,
  });
}

test("moving and scaling data and specification together moves no index", () => {
  const specification = { lower: -1500, upper: 1800, target: 100 };
  fc.assert(
    fc.property(
      values,
      fc.double({ min: -1e4, max: 1e4, noNaN: true }),
      fc.double({ min: 0.01, max: 100, noNaN: true }),
      (data, shift, scale) => {
        fc.pre(moments(data).sd > 1);
        const there = (x: number): number => shift + scale * x;
        const one = askOf(data, specification);
        const other = askOf(data.map(there), {
          lower: there(specification.lower),
          upper: there(specification.upper),
          target: there(specification.target),
        });
        for (const name of names) {
          const [a, b] = [one[name], other[name]];
          if ("refused" in a || "refused" in b) throw new Error("refused");
          expect(Math.abs(a.estimate / b.estimate - 1)).toBeLessThan(1e-6);
          expect(Math.abs(a.lower - b.lower)).toBeLessThan(1e-6 * (1 + Math.abs(a.lower)));
        }
      },
    ),
  );
});

test("the order of the values moves no index of the overall spread", () => {
  fc.assert(
    fc.property(values, (data) => {
      fc.pre(moments(data).sd > 1);
      const specification = { lower: -1500, upper: 1800, target: 100 };
      const one = askOf(data, specification);
      const other = askOf(
        [...data].sort((a, b) => a - b),
        specification,
      );
      for (const name of names) {
        const [a, b] = [one[name], other[name]];
        if ("refused" in a || "refused" in b) throw new Error("refused");
        expect(Math.abs(a.estimate / b.estimate - 1)).toBeLessThan(1e-9);
      }
    }),
  );
});

test("mirroring data and specification leaves every index as it was", () => {
  fc.assert(
    fc.property(values, (data) => {
      fc.pre(moments(data).sd > 1);
      const one = askOf(data, { lower: -1500, upper: 1800, target: 100 });
      const other = askOf(
        data.map((x) => -x),
        { lower: -1800, upper: 1500, target: -100 },
      );
      for (const name of names) {
        const [a, b] = [one[name], other[name]];
        if ("refused" in a || "refused" in b) throw new Error("refused");
        expect(Math.abs(a.estimate / b.estimate - 1)).toBeLessThan(1e-9);
      }
    }),
  );
});

test("whatever is asked, an index is a number inside its interval, or a refusal with words", () => {
  const wild = fc.double({ noNaN: true, noDefaultInfinity: true });
  const some = fc.option(wild, { nil: undefined });
  const spread = fc.double({ min: 0, noNaN: true, noDefaultInfinity: true });
  const request: fc.Arbitrary<CapabilityRequest> = fc
    .record({
      n: fc.integer({ min: 0, max: 10_000_000 }),
      mean: wild,
      sigmaWithin: fc.option(spread),
      dfWithin: fc.option(fc.double({ min: 1, max: 1e7, noNaN: true })),
      sigmaOverall: spread,
      lower: some,
      upper: some,
      target: some,
      confidence: fc.constantFrom(0.5, 0.9, 0.95, 0.999),
      stable: fc.oneof(fc.boolean(), fc.constant("it moved")),
      autocorrelated: fc.boolean(),
      distinct: fc.integer({ min: 1, max: 100 }),
    })
    .filter(({ lower, upper }) => lower === undefined || upper === undefined || lower < upper);
  fc.assert(
    fc.property(request, (asked) => {
      const found = capabilityOf(asked);
      for (const name of names) {
        const index = found[name];
        if ("refused" in index) expect(index.why.length).toBeGreaterThan(5);
        else {
          for (const number of [index.lower, index.estimate, index.upper]) expect(Number.isFinite(number)).toBe(true);
          expect(index.lower).toBeLessThanOrEqual(index.estimate * (1 + 1e-9) + 1e-300);
          expect(index.upper).toBeGreaterThanOrEqual(index.estimate * (1 - 1e-9) - 1e-300);
        }
      }
    }),
    { numRuns: 2000 },
  );
});
