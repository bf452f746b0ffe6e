import { ok, refuse } from "../model/outcome.ts";
import type { FeatureExtractor } from "../model/run.ts";
import { quantile } from "../stats/quantile.ts";
import { featureNumbers, guarded } from "./extractor.ts";
import { coverageOf, goodReadings, leastCoverage, spacingOf } from "./readings.ts";
import { wholeRun } from "./window.ts";

/**
 * `mold.spread`: how far the pressure went within the shot; a transmitter that is stuck has none, whatever it reads.
 *
 * @shape   role `pressure`; no settings
 * @unit    bar
 * @method  98th minus 2nd percentile of all good readings of the shot; frozen ones count, for they are what is looked for
 * @refuses `role-missing`; those of `wholeRun`; `coverage-too-low`
 * @throws  RangeError for any setting
 * @cost    O(n log n)
 * @source  common practice, no source
 * @checked tests/unit/spc/features/mold-more.test.ts
 */
export function moldSpread(settings: Readonly<Record<string, number>>): FeatureExtractor {
  featureNumbers("mold.spread", settings, {});
  return guarded({
    id: "mold.spread",
    version: 1,
    unit: "bar",
    roles: ["pressure"],
    plusMinus: 0.08,
    extract(trace) {
      const every = spacingOf(trace, "pressure");
      if (!every.ok) return every;
      const shot = wholeRun(trace.run);
      if (!shot.ok) return shot;
      const { fromMs, toMs } = shot.value;
      const inside = goodReadings(trace, "pressure").filter(({ tMs }) => fromMs <= tMs && tMs < toMs);
      const coverage = coverageOf(inside, shot.value, every.value);
      if (inside.length === 0 || coverage < leastCoverage - 1e-9) {
        return refuse("coverage-too-low", "too many readings of pressure are missing", {
          needs: leastCoverage,
          has: coverage,
        });
      }
      const values = inside.map(({ value }) => value);
      return ok(quantile(values, 0.98) - quantile(values, 0.02));
    },
  });
}
