import { ok, refuse } from "../model/outcome.ts";
import type { FeatureExtractor } from "../model/run.ts";
import { loadBalance, waterDefaults } from "./dry-water.ts";
import { probeRoles } from "./dryer-moments.ts";
import { featureNumbers, guarded } from "./extractor.ts";
import { newestTold } from "./told.ts";

/**
 * `dry.water_ratio`: water that the air carried out over what the load's wet and dry weights say; more than 15 % beside 1 is
 * a wrong airflow, a humidity probe that drifts, a bypass, or a cluster that was not counted.
 *
 * @shape   roles as `dry.water`, and `expected-water` in kg, told once a load; settings as `dry.water`
 * @unit    1
 * @method  water / expected
 * @refuses those of `dry.water`; `no-reading` without an expected water; `not-positive` where it is not above 0
 * @throws  RangeError for another setting, or one not above 0
 * @cost    O(n)
 * @source  as `dry.water`; 15 %: common practice, no source
 * @checked tests/unit/spc/features/dry-more.test.ts
 */
export function dryWaterRatio(settings: Readonly<Record<string, number>>): FeatureExtractor {
  const numbers = featureNumbers("dry.water_ratio", settings, waterDefaults);
  return guarded({
    id: "dry.water_ratio",
    version: 2,
    unit: "1",
    roles: [...probeRoles, "airflow", "expected-water"],
    roleUnits: { airflow: "kg/s", "expected-water": "kg" },
    plusMinus: 0.08,
    extract(trace) {
      const expected = newestTold(trace, "expected-water");
      if (!expected.ok) return expected;
      if (!(expected.value.value > 0)) return refuse("not-positive", "a load must be expected to hold water");
      const balance = loadBalance(trace, numbers);
      return balance.ok ? ok(balance.value.waterKg / expected.value.value) : balance;
    },
  });
}
