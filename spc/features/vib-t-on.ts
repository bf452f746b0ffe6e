import { ok } from "../model/outcome.ts";
import type { FeatureExtractor } from "../model/run.ts";
import { featureNumbers, guarded } from "./extractor.ts";
import { coveredReadings, spacingOf } from "./readings.ts";
import { wholeRun } from "./window.ts";

/**
 * `vib.t_on`: how long the table shook in earnest.
 *
 * @shape   role `vibration-z.rms`; settings `target` in g RMS (0.97) and `share` of it that counts (0.8)
 * @unit    s
 * @method  count of one-second values of the flask above the share of the target, times their spacing, over the share of
 *          the flask that was measured
 * @refuses those of `wholeRun` and `coveredReadings`
 * @throws  RangeError for another setting, or one not above 0
 * @cost    O(n)
 * @source  common practice, no source
 * @checked tests/unit/spc/features/vib.test.ts
 */
export function vibTOn(settings: Readonly<Record<string, number>>): FeatureExtractor {
  const { target, share } = featureNumbers("vib.t_on", settings, { target: 0.97, share: 0.8 });
  return guarded({
    id: "vib.t_on",
    version: 2,
    unit: "s",
    roles: ["vibration-z.rms"],
    plusMinus: 4,
    extract(trace) {
      const every = spacingOf(trace, "vibration-z.rms");
      if (!every.ok) return every;
      const flask = wholeRun(trace.run);
      if (!flask.ok) return flask;
      const readings = coveredReadings(trace, "vibration-z.rms", flask.value, { spikes: "kept" });
      if (!readings.ok) return readings;
      const on = readings.value.filter(({ value }) => value > share * target).length;
      const expected = Math.max(
        readings.value.length,
        Math.floor((flask.value.toMs - flask.value.fromMs) / every.value),
      );
      return ok((on / readings.value.length) * expected * (every.value / 1000));
    },
  });
}
