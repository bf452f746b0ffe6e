import type { FeatureExtractor } from "../model/run.ts";
import { vapourOfMixingRatio } from "../physics/mixing-ratio.ts";
import { dewPointOfVapour } from "../physics/moist-air.ts";
import { mean } from "../stats/moments.ts";
import { dryerMoments, probeRoles } from "./dryer-moments.ts";
import { featureNumbers, guarded } from "./extractor.ts";
import { lastOf, wholeRun } from "./window.ts";

/**
 * `dry.dew_end`: dew point of the return air at the end of the load.
 *
 * @shape   roles `return-rh`, `return-t`, `supply-rh`, `supply-t`; setting `minutes` before release (30)
 * @unit    Cel
 * @method  dew point of the mean mixing ratio over the window
 * @refuses those of `wholeRun`, `lastOf`, `dryerMoments`, `vapourOfMixingRatio`, `dewPointOfVapour`
 * @throws  RangeError for another setting, or minutes not above 0
 * @cost    O(n)
 * @source  WMO-No. 8, Annex 4.B, and IAPWS R7-97(2012) above 60 Cel
 * @checked tests/unit/spc/features/dry-more.test.ts
 */
export function dryDewEnd(settings: Readonly<Record<string, number>>): FeatureExtractor {
  const { minutes } = featureNumbers("dry.dew_end", settings, { minutes: 30 });
  return guarded({
    id: "dry.dew_end",
    version: 2,
    unit: "Cel",
    roles: probeRoles,
    plusMinus: 1,
    extract(trace) {
      const load = wholeRun(trace.run);
      if (!load.ok) return load;
      const end = lastOf(load.value, minutes * 60_000);
      if (!end.ok) return end;
      const moments = dryerMoments(trace, end.value);
      if (!moments.ok) return moments;
      const ratio = mean(moments.value.map(({ returnGkg }) => returnGkg));
      const vapour = vapourOfMixingRatio(ratio, trace.ambientPressureHpa);
      if (!vapour.ok) return vapour;
      const dew = dewPointOfVapour(vapour.value);
      return dew;
    },
  });
}
