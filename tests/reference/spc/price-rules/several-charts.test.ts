import { expect, test } from "vitest";
import { sharedLoad, shareOfChart } from "../../../../spc/price/load-several-charts.ts";
import { knownRunLength } from "../../../../spc/price/rules-run-length.ts";
import { ruleById } from "../../../../spc/rules/rule.ts";
import { reference } from "../../ledger/reference.ts";
import { printed, relative } from "../../ledger/tolerance.ts";

const records = reference("multichart_false_alarm_load.csv", ["charts"]);
const fourZoneRules = [
  "beyond-limit",
  "two-of-three-beyond-two-sigma",
  "four-of-five-beyond-one-sigma",
  "eight-on-one-side",
].map(ruleById);

test.each(records.map((record) => [record.title, record] as const))("%s", (_, record) => {
  const charts = Number(record.get("charts"));
  const alone = 1 / knownRunLength([ruleById("beyond-limit")]).mean;
  const limits = sharedLoad(alone, charts);
  record.check("P_any_signal_per_sampling_3sigma", limits.anySignal, printed(6));
  record.check("samplings_between_false_alarms_3sigma", limits.samplings, printed(3));
  const zones = sharedLoad(1 / knownRunLength(fourZoneRules).mean, charts);
  record.check("P_any_four_zone_rules", zones.anySignal, printed(6));
  record.check("samplings_between_four_zone_rules", zones.samplings, printed(3));
  const share = shareOfChart(alone, charts);
  // Printed to six significant digits.
  record.check("sidak_alpha_per_chart", share.chance, relative(5e-6));
  record.check("sidak_sigma_multiple", share.limit, printed(5));
});

test("charts that share a chance give it back together", () => {
  for (const charts of [1, 7, 1000]) {
    expect(sharedLoad(shareOfChart(0.01, charts).chance, charts).anySignal).toBeCloseTo(0.01, 14);
  }
});
