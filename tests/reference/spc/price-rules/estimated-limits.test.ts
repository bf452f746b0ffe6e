import { expect, test } from "vitest";
import type { EstimatedFrom, EstimatedLimits } from "../../../../spc/price/estimated-limits.ts";
import { estimatedLimits } from "../../../../spc/price/estimated-limits.ts";
import { reference } from "../../ledger/reference.ts";
import { relative, standardErrors } from "../../ledger/tolerance.ts";

const records = reference("estimated_limits_arl.csv", ["phase1_m", "n"]);
const estimators: Record<string, EstimatedFrom["estimator"]> = {
  "xbar, pooled s/c4": "pooled-s",
  "individuals, overall s/c4": "overall",
  "individuals, MRbar/d2": "moving-range",
};
const OURS = 20_000;

test.each(records.map((record) => [record.title, record] as const))("%s", (_, record) => {
  const estimator = estimators[record.get<string>("chart")]!;
  const from: EstimatedFrom = {
    estimator,
    points: Number(record.get("phase1_m")),
    size: Number(record.get("n")),
    simulation: { trials: OURS, seed: 42 },
  };
  const outcome = estimatedLimits(from);
  if (!outcome.ok) throw new Error(outcome.refusal.detail);
  const found = outcome.value;
  const simulated = estimator === "moving-range";
  // Draws behind the published percentiles, and behind ours where the law of the estimate is simulated.
  const draws = simulated ? 1 / (1 / 40_000 + 1 / OURS) : 200_000;
  if (simulated) {
    record.check("mean_false_alarm_rate", found.falseAlarmRate, standardErrors(spreadOfRate(found) / Math.sqrt(draws)));
  } else {
    // With few degrees of freedom the mean lives far out in the tail, where the published quadrature ended a little
    // early: a sum ten times as fine and twice as wide gives 2324.4098 for twenty values, and not 2324.2884.
    const df = from.size > 1 ? from.points * (from.size - 1) : from.points - 1;
    record.check("mean_ARL0", found.meanRunLength!, relative(df < 20 ? 1e-4 : df <= 40 ? 5e-7 : 1e-8));
    record.check("mean_false_alarm_rate", found.falseAlarmRate, relative(1e-8));
  }
  const rank = (path: string, share: number, value: number): void =>
    record.check(path, value, standardErrors(Math.sqrt((share * (1 - share)) / draws) / densityAt(found, value)));
  rank("ARL0_10th_percentile", 0.1, found.tenthRunLength);
  rank("ARL0_median", 0.5, found.medianRunLength);
  const below = found.shareBelow(200);
  record.check("P_ARL0_below_200", below, standardErrors(Math.sqrt((below * (1 - below)) / draws)));
});

/** How dense the baselines lie about a run length. */
function densityAt(found: EstimatedLimits, runLength: number): number {
  const by = 0.05 * runLength;
  return (found.shareBelow(runLength + by) - found.shareBelow(runLength - by)) / (2 * by);
}

/** Standard deviation of the chance of a false alarm over baselines, from the law of the run length. */
function spreadOfRate(found: EstimatedLimits): number {
  let sum = 0;
  let squares = 0;
  const steps = 200;
  let before = 0;
  for (let i = 0; i <= steps; i += 1) {
    const runLength = Math.exp((i / steps) * Math.log(1e9));
    const share = found.shareBelow(runLength);
    const middle = Math.exp(((i - 0.5) / steps) * Math.log(1e9));
    sum += (share - before) / middle;
    squares += (share - before) / middle ** 2;
    before = share;
  }
  expect(Math.abs(sum / found.falseAlarmRate - 1)).toBeLessThan(0.05);
  return Math.sqrt(squares - sum * sum);
}
