import { ok } from "../model/outcome.ts";
import type { FeatureExtractor } from "../model/run.ts";
import { endpointResolution } from "../physics/probe-pair.ts";
import { mean } from "../stats/moments.ts";
import { median } from "../stats/quantile.ts";
import { dryerMoments, probeRoles } from "./dryer-moments.ts";
import { pairDefaults, pairOf } from "./dryer-pair.ts";
import { featureNumbers, guarded } from "./extractor.ts";
import { lastOf, wholeRun } from "./window.ts";

/** What a gain at the end must be told from 0 by, g/kg. Common practice, no source. */
const leastGkg = 0.2;

/**
 * `dry.dw_end`: how much water the air still took out of the load at its end; relative humidity alone does not tell.
 *
 * @shape   roles `return-rh`, `return-t`, `supply-rh`, `supply-t`; setting `minutes` before release, default 30
 * @unit    g/kg
 * @method  return minus supply mixing ratio at each moment; mean over the window, so the swing of the supply cancels
 * @refuses those of `wholeRun`, `lastOf`, `dryerMoments`; `not-resolvable` where the load's events say `pair: separate`, and
 *          two probes of 2 % err by more than 0.2 g/kg in that air
 * @throws  RangeError for another setting, or minutes not above 0
 * @cost    O(n)
 * @source  mixing ratio: WMO-No. 8, and IAPWS R7-97(2012) above 60 Cel; the rest common practice, no source
 * @checked tests/unit/spc/features/dry.test.ts
 */
export function dryDwEnd(settings: Readonly<Record<string, number>>): FeatureExtractor {
  const { minutes } = featureNumbers("dry.dw_end", settings, { minutes: 30 });
  return guarded({
    id: "dry.dw_end",
    version: 5,
    unit: "g/kg",
    roles: probeRoles,
    plusMinus: 0.2,
    extract(trace) {
      const load = wholeRun(trace.run);
      if (!load.ok) return load;
      const end = lastOf(load.value, minutes * 60_000);
      if (!end.ok) return end;
      const moments = dryerMoments(trace, end.value);
      if (!moments.ok) return moments;
      if (trace.run.context["pair"] === "separate") {
        const air = {
          tCel: median(moments.value.map(({ returnT }) => returnT)),
          rhPercent: median(moments.value.map(({ returnRh }) => returnRh)),
          pressureHpa: trace.ambientPressureHpa,
        };
        const resolved = endpointResolution(pairOf(trace, pairDefaults), air, leastGkg);
        if (!resolved.ok) return resolved;
      }
      return ok(mean(moments.value.map(({ returnGkg, supplyGkg }) => returnGkg - supplyGkg)));
    },
  });
}
