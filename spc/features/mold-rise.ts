import { ok, refuse } from "../model/outcome.ts";
import type { FeatureExtractor } from "../model/run.ts";
import { median } from "../stats/quantile.ts";
import { firstReached } from "./crossing.ts";
import { featureNumbers, guarded } from "./extractor.ts";
import { withoutSpikes } from "./median-filter.ts";
import { coveredReadings, spacingOf } from "./readings.ts";
import { steamPlateau } from "./steam-plateau.ts";
import { lastOf, segmentWindow } from "./window.ts";

/** Least step in bar that ten per cent of can still be told from noise. Our own choice. */
const leastStep = 0.1;

/**
 * `mold.rise`: how long the autoclave step took to fill, which a wet trap or a slow valve lengthens.
 *
 * @shape   role `pressure`; segments `cross-steam-b` and `autoclave`; no settings
 * @unit    s
 * @method  level: median of the last second of cross-steam-b; plateau as `mold.plateau`; from the first time at 10 % to
 *          the first time at 90 % of the step, within the autoclave segment, single spikes taken out
 * @refuses those of `segmentWindow`, `coveredReadings`, `steamPlateau`, `firstReached`; `no-step` when the plateau is
 *          less than 0.1 bar above the level
 * @throws  RangeError for any setting
 * @cost    O(n log n)
 * @source  rise time 10 to 90 %: IEC 60050-351, from memory; the rest common practice, no source
 * @checked tests/unit/spc/features/mold.test.ts
 */
export function moldRise(settings: Readonly<Record<string, number>>): FeatureExtractor {
  featureNumbers("mold.rise", settings, {});
  return guarded({
    id: "mold.rise",
    version: 3,
    unit: "s",
    roles: ["pressure"],
    plusMinus: 0.45,
    extract(trace) {
      const every = spacingOf(trace, "pressure");
      if (!every.ok) return every;
      const steam = segmentWindow(trace.run, "cross-steam-b");
      if (!steam.ok) return steam;
      const settled = lastOf(steam.value, 1000);
      if (!settled.ok) return settled;
      const before = coveredReadings(trace, "pressure", settled.value);
      if (!before.ok) return before;
      const autoclave = segmentWindow(trace.run, "autoclave");
      if (!autoclave.ok) return autoclave;
      const during = coveredReadings(trace, "pressure", autoclave.value);
      if (!during.ok) return during;
      const plateau = steamPlateau(during.value);
      if (!plateau.ok) return plateau;

      const level = median(before.value.map(({ value }) => value));
      const step = plateau.value - level;
      if (!(step >= leastStep)) return refuse("no-step", "the pressure hardly rises from cross-steam to autoclave");
      const rising = withoutSpikes(during.value);
      const low = firstReached(rising, level + 0.1 * step, every.value);
      if (!low.ok) return low;
      const high = firstReached(rising, level + 0.9 * step, every.value);
      if (!high.ok) return high;
      if (high.value <= low.value) return refuse("no-step", "the pressure stood at its plateau when autoclave began");
      return ok((high.value - low.value) / 1000);
    },
  });
}
