import { ok, refuse } from "../model/outcome.ts";
import type { FeatureExtractor } from "../model/run.ts";
import { dryerMoments, probeRoles } from "./dryer-moments.ts";
import { featureNumbers, guarded } from "./extractor.ts";
import { medianFiltered } from "./median-filter.ts";
import { spacingOf } from "./readings.ts";
import { wholeRun } from "./window.ts";

/**
 * `dry.w_peak`: the most water that the return air carried; unlike relative humidity it does not move with temperature.
 *
 * @shape   roles `return-rh`, `return-t`, `supply-rh`, `supply-t`; no settings
 * @unit    g/kg
 * @method  highest of the running median of five mixing ratios of the return air
 * @refuses those of `wholeRun`, `dryerMoments`; `too-few-samples` when no five moments stand together
 * @throws  RangeError for any setting
 * @cost    O(n)
 * @source  WMO-No. 8, and IAPWS R7-97(2012) above 60 Cel; the rest common practice, no source
 * @checked tests/unit/spc/features/dry-more.test.ts
 */
export function dryWPeak(settings: Readonly<Record<string, number>>): FeatureExtractor {
  featureNumbers("dry.w_peak", settings, {});
  return guarded({
    id: "dry.w_peak",
    version: 2,
    unit: "g/kg",
    roles: probeRoles,
    plusMinus: 1,
    extract(trace) {
      const every = spacingOf(trace, "return-rh");
      if (!every.ok) return every;
      const load = wholeRun(trace.run);
      if (!load.ok) return load;
      const moments = dryerMoments(trace, load.value);
      if (!moments.ok) return moments;
      const ratios = moments.value.map(({ tMs, returnGkg }) => ({ tMs, value: returnGkg }));
      const smooth = medianFiltered(ratios, 5, every.value);
      if (smooth.length === 0) return refuse("too-few-samples", "no five moments of the return air stand together");
      return ok(smooth.reduce((highest, { value }) => Math.max(highest, value), Number.NEGATIVE_INFINITY));
    },
  });
}
