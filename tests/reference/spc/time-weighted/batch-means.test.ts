import { expect, test } from "vitest";
import { batchMeanCorrelation, batchMeanVariance, batchSizeFor } from "../../../../spc/stats/ar1-batches.ts";
import { reference } from "../../ledger/reference.ts";
import { absolute } from "../../ledger/tolerance.ts";
import { asWritten } from "../price-continuous/significant.ts";

const records = reference("batch_means_ar1.csv", ["phi"]);

test.each(records.map((record) => [record.title, record] as const))("%s", (_, record) => {
  const phi = Number(record.get("phi"));
  const tenth = batchSizeFor(phi);
  const twentieth = batchSizeFor(phi, 0.05);
  const written = (path: string) => asWritten(record.get<string>(path));
  record.check("min_batch_r1_le_0.10", tenth, absolute(0));
  record.check("r1_at_that_batch", batchMeanCorrelation(phi, tenth), written("r1_at_that_batch"));
  record.check("min_batch_r1_le_0.05", twentieth, absolute(0));
  record.check("r1_at_that_batch (2)", batchMeanCorrelation(phi, twentieth), written("r1_at_that_batch (2)"));
  record.check("var_batchmean_over_sigma2", batchMeanVariance(phi, tenth), written("var_batchmean_over_sigma2"));
  // From phi = 0.9 on the remembered sizes are larger by one than the exact ones (README of the data, point 9).
  if (phi >= 0.9) record.checkMisprint("runger_willemain_from_memory", tenth, absolute(0), 1);
  else record.check("runger_willemain_from_memory", tenth, absolute(0));
});

test("the correlation of batch means of two is that of their definition", () => {
  for (const phi of [-0.5, 0.1, 0.7]) {
    // Var((x1 + x2) / 2) = (1 + phi) / 2; Cov of neighbours = (phi + 2 phi^2 + phi^3) / 4.
    expect(batchMeanVariance(phi, 2)).toBeCloseTo((1 + phi) / 2, 12);
    expect(batchMeanCorrelation(phi, 2)).toBeCloseTo((phi + 2 * phi ** 2 + phi ** 3) / 4 / ((1 + phi) / 2), 12);
  }
});
