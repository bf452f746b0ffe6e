import { expect, test } from "vitest";
import { demonstratedIndex, requiredIndex } from "../../../../spc/capability/demonstrated.ts";
import { spreadIndex } from "../../../../spc/capability/indices.ts";
import { nearestInterval, spreadInterval } from "../../../../spc/capability/interval.ts";
import type { Outcome } from "../../../../spc/model/outcome.ts";
import { lognormal } from "../../../../spc/models/lognormal.ts";
import { percentileIndices } from "../../../../spc/models/percentile-indices.ts";
import { reference } from "../../ledger/reference.ts";
import { printed, relative } from "../../ledger/tolerance.ts";

const records = reference("capability_checks.json", ["input"]);
const numberOf = (outcome: Outcome<number>): number => {
  if (!outcome.ok) throw new Error(outcome.refusal.detail);
  return outcome.value;
};

for (const record of records) {
  if (record.id === "montgomery-8.4-Cp-ci") {
    test(`${record.title}: Cp 2.29 from 20 values lies between 1.57 and 3.01`, () => {
      const { n, s, USL, LSL } = record.get<{ n: number; s: number; USL: number; LSL: number }>("input");
      const cp = numberOf(spreadIndex({ lower: LSL, upper: USL, unit: "", origin: "" }, s));
      record.check("published.Cp", cp, printed(2));
      // The example goes on from the rounded index; unrounded the lower end is 1.565, which would be printed 1.56.
      const rounded = spreadInterval(Number(cp.toFixed(2)), n - 1, 0.95);
      record.checkAll("published.ci95", [rounded.lower, rounded.upper], printed(2));
      const exact = spreadInterval(cp, n - 1, 0.95);
      record.check("recomputed.Cp", exact.estimate, relative(1e-15));
      record.checkAll("recomputed.ci", [exact.lower, exact.upper], relative(1e-10));
    });
  }
  const n = Number(/^Cpk-lower-bound-n(\d+)$/.exec(record.id)?.[1] ?? 0);
  if (n > 0) {
    test(`${record.title} (Bissell 1990, Applied Statistics 39:331-340), n = ${n}`, () => {
      record.check("recomputed.lower95_at_1_33", demonstratedIndex(1.33, n, n - 1, 0.95), relative(1e-10));
      const required = numberOf(requiredIndex(1.33, n, n - 1, 0.95));
      record.check("recomputed.needed", required, relative(1e-10));
      expect(demonstratedIndex(required, n, n - 1, 0.95)).toBeCloseTo(1.33, 12);
    });
  }
  if (record.id === "percentile-lognormal") {
    test(`${record.title}: percentile method (ISO 22514-2, ISO 21747) on a lognormal`, () => {
      const { mu, sigma, LSL, USL } = record.get<{ mu: number; sigma: number; LSL: number; USL: number }>("input");
      const model = lognormal(mu, sigma);
      record.check("recomputed.x00135", model.quantile(0.00135), relative(1e-10));
      record.check("recomputed.x50", model.quantile(0.5), relative(1e-10));
      record.check("recomputed.x99865", model.quantile(0.99865), relative(1e-10));
      const found = percentileIndices(model, { lower: LSL, upper: USL });
      record.check("recomputed.Pp", numberOf(found.pp), relative(1e-10));
      record.check("recomputed.Ppu", numberOf(found.ppu), relative(1e-10));
      record.check("recomputed.Ppl", numberOf(found.ppl), relative(1e-10));
      record.check("recomputed.Ppk", numberOf(found.ppk), relative(1e-10));
    });
  }
}

test("an interval without degrees of freedom, or with a confidence out of range, is a defect", () => {
  expect(() => nearestInterval(1, 0, 1)).toThrow(RangeError);
  expect(() => nearestInterval(1, 30, 0)).toThrow(RangeError);
  expect(() => spreadInterval(1, 0)).toThrow(RangeError);
  expect(() => spreadInterval(1, 30, 1)).toThrow(RangeError);
});
