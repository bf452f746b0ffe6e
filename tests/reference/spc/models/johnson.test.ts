import { expect, test } from "vitest";
import { normalCdf } from "../../../../spc/library/normal.ts";
import { johnson } from "../../../../spc/models/johnson.ts";
import type { FourQuantiles } from "../../../../spc/models/slifer-shapiro.ts";
import { johnsonThrough, quantileGaps } from "../../../../spc/models/slifer-shapiro.ts";
import { reference } from "../../ledger/reference.ts";
import { relative } from "../../ledger/tolerance.ts";

const records = reference("rare_shortrun_misc.json", ["input"]).filter(({ id }) => id.startsWith("johnson-"));

test("all three members of the family have a record", () => {
  expect(records.map(({ id }) => id)).toEqual(["johnson-SU", "johnson-SB", "johnson-SL"]);
});

for (const record of records) {
  const { gamma, delta, xi, lam, z } = record.get<
    Record<"gamma" | "delta" | "xi" | "z", number> & { lam: number | null }
  >("input");
  const model = johnson(
    lam === null
      ? { form: "sl", gamma, delta, xi }
      : { form: record.id === "johnson-SU" ? "su" : "sb", gamma, delta, xi, lambda: lam },
  );
  const quantiles = [-3 * z, -z, z, 3 * z].map((at) => model.quantile(normalCdf(at)));

  test(`${record.title}: quantiles, gaps and limits`, () => {
    record.checkAll("recomputed.quantiles_at_minus3z_minusz_z_3z", quantiles, relative(1e-10));
    const { m, n, p, ratio } = quantileGaps(quantiles as unknown as FourQuantiles);
    record.check("recomputed.m", m, relative(1e-10));
    record.check("recomputed.n", n, relative(1e-10));
    record.check("recomputed.p", p, relative(1e-10));
    record.check("recomputed.mn_over_p2", ratio, relative(1e-10));
    record.check("recomputed.x_00135", model.quantile(0.00135), relative(1e-10));
    record.check("recomputed.x_50", model.quantile(0.5), relative(1e-10));
    record.check("recomputed.x_99865", model.quantile(0.99865), relative(1e-10));
  });

  test(`${record.id}: four exact quantiles give the parameters back`, () => {
    const found = johnsonThrough(quantiles as unknown as FourQuantiles, z);
    if (!found.ok) throw new Error(found.refusal.detail);
    expect(found.value.form).toBe(model.form);
    for (const [name, value] of Object.entries(model.parameters)) {
      expect(Math.abs(found.value.parameters[name]! - value), name).toBeLessThan(1e-10);
    }
  });
}
