import { ok } from "../model/outcome.ts";
import type { FeatureExtractor } from "../model/run.ts";
import { median } from "../stats/quantile.ts";
import { featureNumbers, guarded } from "./extractor.ts";
import { coveredReadings } from "./readings.ts";
import { lastOf, segmentWindow } from "./window.ts";

/**
 * `mold.t_zero`: the chamber's thermometer at a state that is known, in the cooling water: an offset of it moves this and
 * `mold.dTsat`, air in the steam moves `mold.dTsat` alone.
 *
 * @shape   roles `chamber-t`, `cooling-water-t`; segment `cool`; setting `seconds` at its end (2)
 * @unit    K
 * @method  median of the one minus median of the other
 * @refuses those of `segmentWindow`, `lastOf`, `coveredReadings`
 * @throws  RangeError for another setting, or one not above 0
 * @cost    O(n log n)
 * @source  common practice, no source
 * @checked tests/unit/spc/features/mold-more.test.ts
 */
export function moldThermometerZero(settings: Readonly<Record<string, number>>): FeatureExtractor {
  const { seconds } = featureNumbers("mold.t_zero", settings, { seconds: 2 });
  return guarded({
    id: "mold.t_zero",
    version: 2,
    unit: "K",
    roles: ["chamber-t", "cooling-water-t"],
    plusMinus: 0.6,
    extract(trace) {
      const cool = segmentWindow(trace.run, "cool");
      if (!cool.ok) return cool;
      const end = lastOf(cool.value, seconds * 1000);
      if (!end.ok) return end;
      const chamber = coveredReadings(trace, "chamber-t", end.value);
      if (!chamber.ok) return chamber;
      // The water moves slowly and is read once a second: two readings alone would let one loss refuse the shot.
      const water = coveredReadings(trace, "cooling-water-t", cool.value);
      if (!water.ok) return water;
      const late = water.value.slice(-Math.ceil(water.value.length / 4));
      const [cel, known] = [chamber.value, late].map((readings) => median(readings.map(({ value }) => value)));
      return ok(cel! - known!);
    },
  });
}
