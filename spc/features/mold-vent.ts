import { ok, refuse } from "../model/outcome.ts";
import type { FeatureExtractor } from "../model/run.ts";
import { firstReached } from "./crossing.ts";
import { featureNumbers, guarded } from "./extractor.ts";
import { withoutSpikes } from "./median-filter.ts";
import { coveredReadings, soundReadings, spacingOf } from "./readings.ts";
import { steamPlateau } from "./steam-plateau.ts";
import { segmentWindow } from "./window.ts";

/**
 * `mold.vent`: how long the chamber took to empty, which a plugged impulse line lengthens most of all.
 *
 * @shape   role `pressure`; segments `autoclave`, `vent`, and `cool` where it follows at once; no settings
 * @unit    s
 * @method  plateau as `mold.plateau`; from the first time at 90 % of it to the first time at 10 %, from the vent's
 *          beginning; the chamber stays open while it cools, so a slow fall is followed into there; single spikes taken out
 * @refuses those of `segmentWindow`, `coveredReadings`, `steamPlateau`, `firstReached`; `no-step` when the pressure was
 *          gone when the vent began
 * @throws  RangeError for any setting
 * @cost    O(n log n)
 * @source  fall time 90 to 10 %: IEC 60050-351, from memory; the rest common practice, no source
 * @checked tests/unit/spc/features/mold-more.test.ts
 */
export function moldVent(settings: Readonly<Record<string, number>>): FeatureExtractor {
  featureNumbers("mold.vent", settings, {});
  return guarded({
    id: "mold.vent",
    version: 2,
    unit: "s",
    roles: ["pressure"],
    plusMinus: 0.35,
    extract(trace) {
      const every = spacingOf(trace, "pressure");
      if (!every.ok) return every;
      const autoclave = segmentWindow(trace.run, "autoclave");
      if (!autoclave.ok) return autoclave;
      const during = coveredReadings(trace, "pressure", autoclave.value);
      if (!during.ok) return during;
      const plateau = steamPlateau(during.value);
      if (!plateau.ok) return plateau;
      const vent = segmentWindow(trace.run, "vent");
      if (!vent.ok) return vent;
      const covered = coveredReadings(trace, "pressure", vent.value);
      if (!covered.ok) return covered;
      const cool = trace.run.segments.find(({ name, fromMs }) => name === "cool" && fromMs === vent.value.toMs);
      const toMs = cool === undefined ? vent.value.toMs : cool.toMs;
      const open = soundReadings(trace, "pressure").filter(({ tMs }) => vent.value.fromMs <= tMs && tMs < toMs);
      const falling = withoutSpikes(open).map(({ tMs, value }) => ({ tMs, value: -value }));
      const high = firstReached(falling, -0.9 * plateau.value, every.value);
      if (!high.ok) return high;
      const low = firstReached(falling, -0.1 * plateau.value, every.value);
      if (!low.ok) return low;
      if (low.value <= high.value) return refuse("no-step", "the pressure was gone when the vent began");
      return ok((low.value - high.value) / 1000);
    },
  });
}
