import fc from "fast-check";
import { expect, test } from "vitest";
import { capabilityStudy } from "../../../../spc/capability/study.ts";
import { proposeLimits } from "../../../../spc/charts/propose-limits.ts";
import { baselineOf, granted } from "../../../unit/spc/press-fixtures.ts";

const request = { pair: "individuals", everyMs: 1000, unit: "bar", rules: ["beyond-limit"], basis: "chart" } as const;
const propose = (values: readonly (number | null)[], basis: "chart" | "overall" = "chart") =>
  proposeLimits({ ...request, basis, subgroups: baselineOf(values) });
const study = (values: readonly (number | null)[], specification: { lower?: number; upper?: number }) =>
  capabilityStudy({
    window: baselineOf(values),
    everyMs: 1000,
    specification: { ...specification, unit: "bar", origin: "trial" },
    stability: { limitsInForce: true, signals: 0, flagOpen: false },
  });

const varied = fc
  .array(fc.integer({ min: -1000, max: 1000 }), { minLength: 25, maxLength: 80 })
  .filter((values) => new Set(values).size > 5);

test("limits are equivariant under a + b x", () => {
  fc.assert(
    fc.property(varied, fc.integer({ min: -1000, max: 1000 }), fc.constantFrom(-3, 0.01, 2.5, 1e4), (values, a, b) => {
      for (const basis of ["chart", "overall"] as const) {
        const from = granted(propose(values, basis));
        const to = granted(
          propose(
            values.map((x) => a + b * x),
            basis,
          ),
        );
        const scale = Math.abs(a) + Math.abs(b) * 1e4;
        const near = (x: number, y: number): void => expect(Math.abs(x - y)).toBeLessThan(1e-9 * scale);
        const [low, high] = b > 0 ? (["lower", "upper"] as const) : (["upper", "lower"] as const);
        near(to.location.centre, a + b * from.location.centre);
        near(to.location.lower, a + b * from.location[low]);
        near(to.location.upper, a + b * from.location[high]);
        near(to.location.sigma, Math.abs(b) * from.location.sigma);
        near(to.spread.upper, Math.abs(b) * from.spread.upper);
        expect(to.diagnostics.lag1).toBeCloseTo(from.diagnostics.lag1, 7);
      }
    }),
  );
});

test("indices do not depend on the unit, nor performance on the order of the runs", () => {
  fc.assert(
    fc.property(varied, fc.integer({ min: -100, max: 100 }), fc.constantFrom(0.01, 2.5, 1e4), (values, a, b) => {
      const from = study(values, { lower: -900, upper: 1100 });
      const to = study(
        values.map((x) => a + b * x),
        { lower: a - 900 * b, upper: a + 1100 * b },
      );
      const turned = study(
        values.toSorted((x, y) => x - y),
        { lower: -900, upper: 1100 },
      );
      for (const name of ["pp", "ppk"] as const) {
        const [one, two, three] = [from[name], to[name], turned[name]];
        if ("refusal" in one || "refusal" in two || "refusal" in three) throw new Error("performance was refused");
        expect(two.estimate).toBeCloseTo(one.estimate, 7);
        expect(two.lower).toBeCloseTo(one.lower, 7);
        expect(three.estimate).toBeCloseTo(one.estimate, 7);
      }
    }),
  );
});

test("whatever numbers go in, limits and indices come out finite and in order, or refused", () => {
  const wild = fc.oneof(
    { weight: 6, arbitrary: fc.double() },
    { weight: 2, arbitrary: fc.constantFrom(0, -0, 1, 1 + 2 ** -52, 5e-324, 1e149, -1e149, 1e308, Number.NaN) },
    { weight: 1, arbitrary: fc.constant(null) },
  );
  const tame = fc.oneof(
    { weight: 20, arbitrary: fc.double({ min: -1e6, max: 1e6, noNaN: true }) },
    { weight: 1, arbitrary: fc.constant(null) },
  );
  const arrays = fc.oneof(fc.array(wild, { maxLength: 60 }), fc.array(tame, { minLength: 35, maxLength: 60 }));
  let given = 0;
  fc.assert(
    fc.property(arrays, fc.constantFrom("chart", "overall"), (values, basis) => {
      const proposal = propose(values, basis);
      if (proposal.ok) {
        given += 1;
        const { location, spread, diagnostics } = proposal.value;
        for (const { lower, centre, upper, sigma } of [location, spread]) {
          expect([lower, centre, upper, sigma].every(Number.isFinite)).toBe(true);
          expect(lower).toBeLessThanOrEqual(centre);
          expect(centre).toBeLessThanOrEqual(upper);
          expect(sigma).toBeGreaterThan(0);
        }
        expect(Math.abs(diagnostics.lag1)).toBeLessThanOrEqual(1.5);
        expect([diagnostics.sigmaWithin, diagnostics.sigmaOverall].every((sigma) => sigma > 0)).toBe(true);
      } else {
        expect(["too-few", "zero-variation", "not-a-number"]).toContain(proposal.refusal.code);
      }
      const found = study(values, { lower: -1, upper: 1 });
      for (const index of [found.cp, found.cpk, found.pp, found.ppk]) {
        if ("refusal" in index) continue;
        expect([index.estimate, index.lower, index.upper].every(Number.isFinite)).toBe(true);
      }
    }),
    { numRuns: 300 },
  );
  expect(given).toBeGreaterThan(50);
});
