import { expect, test } from "vitest";
import { nearestIndex, spreadIndex } from "../../../../spc/capability/indices.ts";
import { lowerIndex, offCentre, upperIndex } from "../../../../spc/capability/sides.ts";
import type { Outcome } from "../../../../spc/model/outcome.ts";
import { reference } from "../../ledger/reference.ts";
import { printed, relative } from "../../ledger/tolerance.ts";

const record = reference("nist_examples.json", ["input", "published.*.decimals"]).find(
  ({ id }) => id === "nist-6.1.6-capability",
)!;
const { USL, LSL, mean, s } = record.get<{ USL: number; LSL: number; mean: number; s: number }>("input");
const specification = { lower: LSL, upper: USL, unit: "mm", origin: "NIST/SEMATECH e-Handbook 6.1.6" };
const oneSided = (side: { lower?: number; upper?: number }) => ({ ...side, unit: "mm", origin: "trial" });

const numberOf = (outcome: Outcome<number>): number => {
  if (!outcome.ok) throw new Error(outcome.refusal.detail);
  return outcome.value;
};

test(`${record.title}: indices`, () => {
  const found: Record<string, number> = {
    Cp: numberOf(spreadIndex(specification, s)),
    Cpk: numberOf(nearestIndex(specification, mean, s)),
    Cpu: numberOf(upperIndex(specification, mean, s)),
    Cpl: numberOf(lowerIndex(specification, mean, s)),
    k: numberOf(offCentre(specification, mean)),
  };
  const published = record.get<readonly { field: string; decimals: number }[]>("published");
  published.forEach(({ field, decimals }, i) => {
    record.check(`published.${i}.value`, found[field]!, printed(decimals));
  });
  for (const field of ["Cp", "Cpu", "Cpl", "Cpk", "k"]) {
    record.check(`recomputed.${field}`, found[field]!, relative(1e-15));
  }
  expect((1 - found["k"]!) * found["Cp"]!).toBeCloseTo(found["Cpk"]!, 15);
});

test("one side has no Cp and no k, no side has no Cpk, and a mean outside keeps its sign", () => {
  const code = "one-sided-specification";
  expect(spreadIndex(oneSided({ upper: 20 }), 2)).toMatchObject({ refusal: { code } });
  expect(offCentre(oneSided({ upper: 20 }), 2)).toMatchObject({ refusal: { code } });
  expect(lowerIndex(oneSided({ upper: 20 }), 16, 2)).toMatchObject({ refusal: { code } });
  expect(upperIndex(oneSided({ lower: 8 }), 16, 2)).toMatchObject({ refusal: { code } });
  expect(nearestIndex(oneSided({ upper: 20 }), 16, 2)).toEqual({ ok: true, value: 2 / 3 });
  expect(nearestIndex(oneSided({ lower: 8 }), 16, 2)).toEqual({ ok: true, value: 4 / 3 });
  expect(nearestIndex(oneSided({}), 16, 2)).toMatchObject({ refusal: { code: "no-specification" } });
  expect(nearestIndex(specification, 23, 2)).toEqual({ ok: true, value: -0.5 });
  expect(upperIndex(specification, 23, 2)).toEqual({ ok: true, value: -0.5 });
  expect(offCentre(specification, 23)).toEqual({ ok: true, value: 1.5 });
});
