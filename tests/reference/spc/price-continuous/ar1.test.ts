import { expect, test } from "vitest";
import { ar1RunLength, movingRangeFalseShare, movingRangeShare } from "../../../../spc/price/ar1-run-length.ts";
import { reference } from "../../ledger/reference.ts";
import { asWritten } from "./significant.ts";

const records = reference("ar1_effect_on_individuals_chart.csv", ["phi"]);

test.each(records.map((record) => [record.title, record] as const))("%s", (_, record) => {
  const phi = Number(record.get("phi"));
  const actual: Record<string, number> = {
    sigma_MR_over_sigma_x: movingRangeShare(phi),
    marginal_false_alarm_probability: movingRangeFalseShare(phi),
    one_signal_in: 1 / movingRangeFalseShare(phi),
    ARL0_limits_from_MR: ar1RunLength(phi, 3 * movingRangeShare(phi)),
    ARL0_limits_from_true_sigma: ar1RunLength(phi, 3),
    required_inflation_of_MR_limits: 1 / movingRangeShare(phi),
  };
  for (const [path, value] of Object.entries(actual)) record.check(path, value, asWritten(record.get<string>(path)));
});

test("the file holds eight coefficients", () => {
  expect(records.length).toBe(8);
});
