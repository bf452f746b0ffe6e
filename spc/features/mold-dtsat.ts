import { ok, refuse } from "../model/outcome.ts";
import type { FeatureExtractor } from "../model/run.ts";
import { saturationMismatch } from "../physics/air-in-steam.ts";
import { median } from "../stats/quantile.ts";
import { firstReached } from "./crossing.ts";
import { featureNumbers, guarded } from "./extractor.ts";
import { withoutSpikes } from "./median-filter.ts";
import { coveredReadings, spacingOf } from "./readings.ts";
import { steamPlateau } from "./steam-plateau.ts";
import { lastOf, segmentWindow } from "./window.ts";

/** So many time constants must a thermometer have stood in the plateau: then a twentieth of the step is left. */
const leastConstants = 3;

/**
 * `mold.dTsat`: how far the chamber lies from saturated steam; below by more than the instruments' error: air in the steam,
 * a wet or slow thermometer, or a pressure that reads high.
 *
 * @shape   roles `pressure`, `chamber-t`; segment `autoclave`; settings `seconds` at its end (2) and `tau`, time constant of
 *          the thermometer in s (1.5)
 * @unit    K
 * @method  median of the temperature minus saturation at the median absolute pressure of the same seconds
 * @refuses those of `segmentWindow`, `coveredReadings`, `steamPlateau`, `firstReached`; `thermometer-behind` when the
 *          pressure has stood at 90 % of its plateau for less than 3 tau; those of `saturationMismatch`
 * @throws  RangeError for another setting, or one not above 0
 * @cost    O(n log n)
 * @source  saturation: IAPWS R7-97(2012), region 4; 3 tau: first-order answer to a step, 5 % are left
 * @checked tests/unit/spc/features/mold-more.test.ts
 */
export function moldDTsat(settings: Readonly<Record<string, number>>): FeatureExtractor {
  const { seconds, tau } = featureNumbers("mold.dTsat", settings, { seconds: 2, tau: 1.5 });
  return guarded({
    id: "mold.dTsat",
    version: 2,
    unit: "K",
    roles: ["pressure", "chamber-t"],
    plusMinus: 1.2,
    extract(trace) {
      const every = spacingOf(trace, "pressure");
      if (!every.ok) return every;
      const autoclave = segmentWindow(trace.run, "autoclave");
      if (!autoclave.ok) return autoclave;
      const during = coveredReadings(trace, "pressure", autoclave.value);
      if (!during.ok) return during;
      const plateau = steamPlateau(during.value);
      if (!plateau.ok) return plateau;
      const reached = firstReached(withoutSpikes(during.value), 0.9 * plateau.value, every.value);
      if (!reached.ok) return reached;
      const stoodS = (autoclave.value.toMs - reached.value) / 1000;
      if (stoodS < leastConstants * tau) {
        const detail = `steam stood for ${stoodS} s, and the thermometer needs ${leastConstants * tau} s to follow`;
        return refuse("thermometer-behind", detail, { needs: leastConstants * tau, has: stoodS });
      }
      const end = lastOf(autoclave.value, seconds * 1000);
      if (!end.ok) return end;
      const pressure = coveredReadings(trace, "pressure", end.value);
      if (!pressure.ok) return pressure;
      const temperature = coveredReadings(trace, "chamber-t", end.value);
      if (!temperature.ok) return temperature;
      const [bar, cel] = [pressure, temperature].map(({ value }) => median(value.map((one) => one.value)));
      const mismatch = saturationMismatch(cel!, bar!, trace.ambientPressureHpa);
      return mismatch.ok ? ok(mismatch.value) : mismatch;
    },
  });
}
