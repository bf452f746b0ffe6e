import type { FeatureExtractor } from "../model/run.ts";
import { featureNumbers, guarded } from "./extractor.ts";
import { firstMetal, firstMetalDefaults } from "./first-metal.ts";

/**
 * `pour.T1`: temperature of the first metal.
 *
 * @shape   role `stream`; settings `seconds` from pour start (2) and `filter`, width of the running median in s (0.3)
 * @unit    Cel
 * @method  as `firstMetal`
 * @refuses those of `firstMetal`
 * @throws  RangeError for another setting, or one not above 0
 * @cost    O(n)
 * @source  common practice, no source
 * @checked tests/unit/spc/features/pour.test.ts
 */
export function pourT1(settings: Readonly<Record<string, number>>): FeatureExtractor {
  const numbers = featureNumbers("pour.T1", settings, firstMetalDefaults);
  return guarded({
    id: "pour.T1",
    version: 3,
    unit: "Cel",
    roles: ["stream"],
    plusMinus: 5,
    extract: (trace) => firstMetal(trace, numbers),
  });
}
