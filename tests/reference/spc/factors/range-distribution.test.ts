import { expect, test } from "vitest";
import { d4, rangeCdf, rangeQuantile } from "../../../../spc/factors/range-distribution.ts";
import { normalCdf } from "../../../../spc/library/normal.ts";
import { reference } from "../../ledger/reference.ts";
import { relative } from "../../ledger/tolerance.ts";

const records = reference("distribution_checks.csv", ["arg"]).filter((record) =>
  record.get<string>("fn").startsWith("normal_range_quantile"),
);

test("quantiles of the normal range, distribution_checks.csv, own quadrature in R 4.2.2", () => {
  expect(records).toHaveLength(56);
  for (const record of records) {
    const n = Number(record.get<string>("params").split("=")[1]);
    record.check("value", rangeQuantile(Number(record.get("arg")), n), relative(1e-9));
  }
});

test("for two values the range is |N(0, 2)|", () => {
  for (const w of [1e-9, 0.01, 0.5, 1, 3, 6]) {
    expect(rangeCdf(w, 2)).toBeCloseTo(2 * normalCdf(w / Math.SQRT2) - 1, 14);
  }
  expect(d4(2)).toBeCloseTo(0.953872552, 9);
});
