import { ok, refuse } from "../model/outcome.ts";
import type { FeatureExtractor, RunTrace } from "../model/run.ts";
import { median } from "../stats/quantile.ts";
import { featureNumbers, guarded } from "./extractor.ts";
import { vibrationDefaults } from "./final-seconds.ts";
import { coveredReadings, goodReadings } from "./readings.ts";
import { lastOf, segmentWindow, type Window } from "./window.ts";

/**
 * `vib.motors`: how unlike the two unbalanced motors draw; one that has stopped or lost a phase shows at once.
 *
 * @shape   roles `motor-1`, `motor-2` in A; segment `final`; setting `seconds` at its end, default 15
 * @unit    %
 * @method  100 |I1 - I2| / (I1 + I2), of medians: 0 in step, 100 with one motor without current
 * @refuses those of `segmentWindow`, `lastOf`, `coveredReadings`; `no-vibration` when neither draws
 * @throws  RangeError for another setting, or one not above 0
 * @cost    O(n log n)
 * @source  definition; common practice, no source
 * @checked tests/unit/spc/features/vib.test.ts
 */
export function vibMotors(settings: Readonly<Record<string, number>>): FeatureExtractor {
  const { seconds } = featureNumbers("vib.motors", settings, vibrationDefaults);
  return guarded({
    id: "vib.motors",
    version: 2,
    unit: "%",
    roles: ["motor-1", "motor-2"],
    plusMinus: 3,
    extract(trace) {
      const final = segmentWindow(trace.run, "final");
      if (!final.ok) return final;
      const end = lastOf(final.value, seconds * 1000);
      if (!end.ok) return end;
      const currents: number[] = [];
      for (const role of ["motor-1", "motor-2"]) {
        const readings = coveredReadings(trace, role, end.value);
        // A motor without current reads 0 throughout: that is what is looked for, and no frozen channel.
        if (!readings.ok && readings.refusal.code === "signal-stuck" && standsAtZero(trace, role, end.value))
          currents.push(0);
        else if (!readings.ok) return readings;
        else currents.push(median(readings.value.map(({ value }) => value)));
      }
      const [one = 0, two = 0] = currents;
      if (!(one + two > 0)) return refuse("no-vibration", "neither motor drew current at the end of final");
      return ok((100 * Math.abs(one - two)) / (one + two));
    },
  });
}

function standsAtZero(trace: RunTrace, role: string, window: Window): boolean {
  const inside = goodReadings(trace, role).filter(({ tMs }) => window.fromMs <= tMs && tMs < window.toMs);
  return inside.length > 0 && inside.every(({ value }) => value === 0);
}
