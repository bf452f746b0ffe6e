import { expect, test } from "vitest";
import { drawIndividuals } from "../../../../spc/drawn/individuals.ts";
import { usualDesign } from "../../../../spc/model/chart-design.ts";
import { singles } from "../../../../spc/model/grouped.ts";
import { beyond, numbers } from "../../../unit/spc/drawn-variables/looking.ts";
import { reference } from "../../ledger/reference.ts";
import { absolute, printed, relative } from "../../ledger/tolerance.ts";

const record = reference("nist_examples.json", ["input", "published.*.decimals"]).find(
  ({ id }) => id === "nist-6.3.2.2-individuals",
)!;
const values = record.get<readonly number[]>("input.values");
const design = usualDesign({ from: 0, to: values.length });
const { charts, sigmaWithin, dfWithin } = drawIndividuals(singles(values), design);
const [x, mr] = charts;

/** Place of a published field. */
function published(field: string): string {
  const at = record.get<readonly { field: string }[]>("published").findIndex((entry) => entry.field === field);
  return `published.${at}.value`;
}

test(`${record.title}: mean, ranges and limits`, () => {
  const exact = relative(1e-12);
  const ranges = numbers({ ...mr!.values, length: 9, at: (place) => mr!.values.at(place + 1) });
  record.check(published("mean"), x!.centres.at(0)!, printed(2));
  record.check("recomputed.mean", x!.centres.at(0)!, exact);
  record.check(published("mr_bar"), mr!.centres.at(0)!, printed(4));
  record.check("recomputed.mr_bar", mr!.centres.at(0)!, exact);
  record.checkAll(published("moving_ranges"), ranges, printed(1));
  record.check("recomputed.ucl_exact_d2", x!.upper.at(0)!, exact);
  record.check("recomputed.lcl_exact_d2", x!.lower.at(0)!, exact);
  record.check("recomputed.ucl_mr_exact", mr!.upper.at(0)!, relative(1e-9));
  record.checkAll(published("out_of_control"), beyond(x!), absolute(0));
  expect(mr!.values.at(0)).toBeNull();
  expect(mr!.lower.at(0)).toBe(0);
  expect([x!.provenance.n, mr!.provenance.n]).toEqual([10, 9]);
  expect(dfWithin).toBeCloseTo(9 * 0.605, 2);
});

test(`${record.title}: the handbook divides by 1.128, which moves its limits by 0.0017`, () => {
  const theirs = { ...design, sigma: mr!.centres.at(0)! / 1.128 };
  const [rounded] = drawIndividuals(singles(values), theirs).charts;
  record.check(published("ucl_x"), rounded!.upper.at(0)!, printed(4));
  record.check(published("lcl_x"), rounded!.lower.at(0)!, printed(4));
  record.check("recomputed.ucl_with_1_128", rounded!.upper.at(0)!, relative(1e-12));
  record.check("recomputed.lcl_with_1_128", rounded!.lower.at(0)!, relative(1e-12));
  record.check(published("ucl_x"), x!.upper.at(0)!, absolute(0.002));
  record.check(published("lcl_x"), x!.lower.at(0)!, absolute(0.002));
  expect(sigmaWithin).not.toBeNull();
});
