import { expect, test } from "vitest";
import { benjaminiHochberg } from "../../../../spc/stats/benjamini-hochberg.ts";
import { reference } from "../../ledger/reference.ts";
import { relative } from "../../ledger/tolerance.ts";

const record = reference("rare_shortrun_misc.json", ["input"]).find(({ id }) => id === "benjamini-hochberg")!;

test(record.title, () => {
  const ps = record.get<readonly number[]>("input.p");
  const { adjusted, rejected } = benjaminiHochberg(ps, record.get<number>("input.q"));
  record.checkAll("recomputed.adjusted", adjusted, relative(1e-12));
  record.check("recomputed.rejected", rejected.filter(Boolean).length, relative(1e-12));
});

test("the order of the tests does not matter, and no tests give no findings", () => {
  const ps = [0.04, 0.001, 0.2, 0.001];
  const { adjusted } = benjaminiHochberg(ps, 0.05);
  expect(adjusted).toEqual([0.04 * (4 / 3), 0.002, 0.2, 0.002].map((p) => expect.closeTo(p, 14)));
  expect(benjaminiHochberg(ps.toReversed(), 0.05).adjusted).toEqual(adjusted.toReversed());
  expect(benjaminiHochberg([], 0.05)).toEqual({ adjusted: [], rejected: [] });
});

test("what is no probability is a defect", () => {
  for (const bad of [-0.1, 1.1, Number.NaN]) {
    expect(() => benjaminiHochberg([0.5, bad], 0.05)).toThrow(RangeError);
    expect(() => benjaminiHochberg([0.5], bad)).toThrow(RangeError);
  }
});
