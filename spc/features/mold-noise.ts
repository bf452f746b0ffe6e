import { ok } from "../model/outcome.ts";
import type { FeatureExtractor } from "../model/run.ts";
import { scatterAboutLine } from "../stats/line.ts";
import { featureNumbers, guarded } from "./extractor.ts";
import { coveredReadings } from "./readings.ts";
import { lastOf, segmentWindow } from "./window.ts";

/**
 * `mold.noise`: how restless the pressure was on its plateau; a plugged line is calmer than steam ever is.
 *
 * @shape   role `pressure`; segment `autoclave`; setting `seconds` at its end (4)
 * @unit    bar
 * @method  standard deviation about a straight line, which takes out what is left of the rise
 * @refuses those of `segmentWindow`, `lastOf`, `coveredReadings`, `scatterAboutLine`
 * @throws  RangeError for another setting, or one not above 0
 * @cost    O(n)
 * @source  definition; the window common practice, no source
 * @checked tests/unit/spc/features/mold-more.test.ts
 */
export function moldNoise(settings: Readonly<Record<string, number>>): FeatureExtractor {
  const { seconds } = featureNumbers("mold.noise", settings, { seconds: 4 });
  return guarded({
    id: "mold.noise",
    version: 2,
    unit: "bar",
    roles: ["pressure"],
    plusMinus: 0.005,
    extract(trace) {
      const autoclave = segmentWindow(trace.run, "autoclave");
      if (!autoclave.ok) return autoclave;
      const end = lastOf(autoclave.value, seconds * 1000);
      if (!end.ok) return end;
      const readings = coveredReadings(trace, "pressure", end.value);
      if (!readings.ok) return readings;
      const scatter = scatterAboutLine(
        readings.value.map(({ tMs, value }) => [(tMs - end.value.fromMs) / 1000, value]),
      );
      return scatter.ok ? ok(scatter.value) : scatter;
    },
  });
}
