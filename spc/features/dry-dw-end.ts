import { ok } from "../model/outcome.ts";
import type { FeatureExtractor } from "../model/run.ts";
import { mean } from "../stats/moments.ts";
import { dryerMoments, probeRoles } from "./dryer-moments.ts";
import { featureNumbers, guarded } from "./extractor.ts";
import { lastOf, wholeRun } from "./window.ts";

/**
 * `dry.dw_end`: how much water the air still took out of the load at its end; relative humidity alone does not tell.
 *
 * @shape   roles `return-rh`, `return-t`, `supply-rh`, `supply-t`; setting `minutes` before release, default 30
 * @unit    g/kg
 * @method  return minus supply mixing ratio at each moment; mean over the window, so the swing of the supply cancels
 * @refuses those of `wholeRun`, `lastOf`, `dryerMoments`
 * @throws  RangeError for another setting, or minutes not above 0
 * @cost    O(n)
 * @source  mixing ratio: WMO-No. 8, and IAPWS R7-97(2012) above 60 Cel; the rest common practice, no source
 * @checked tests/unit/spc/features/dry.test.ts
 */
export function dryDwEnd(settings: Readonly<Record<string, number>>): FeatureExtractor {
  const { minutes } = featureNumbers("dry.dw_end", settings, { minutes: 30 });
  return guarded({
    id: "dry.dw_end",
    version: 4,
    unit: "g/kg",
    roles: probeRoles,
    plusMinus: 0.2,
    extract(trace) {
      const load = wholeRun(trace.run);
      if (!load.ok) return load;
      const end = lastOf(load.value, minutes * 60_000);
      if (!end.ok) return end;
      const moments = dryerMoments(trace, end.value);
      return moments.ok ? ok(mean(moments.value.map(({ returnGkg, supplyGkg }) => returnGkg - supplyGkg))) : moments;
    },
  });
}
