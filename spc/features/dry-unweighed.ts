import { ok, refuse } from "../model/outcome.ts";
import type { FeatureExtractor } from "../model/run.ts";
import { leastSquaresLine } from "../stats/line.ts";
import { mean } from "../stats/moments.ts";
import { dryerMoments, probeRoles } from "./dryer-moments.ts";
import { featureNumbers, guarded } from "./extractor.ts";
import { coveredReadings } from "./readings.ts";
import { lastOf, wholeRun } from "./window.ts";

/**
 * `dry.unweighed`: what the probes say the air gained at the end of a load, less what the witness lost into that air. The
 * air gains what the load loses, wet or dry, in weak air too: what is left of the difference is the probes' own.
 *
 * @shape   roles `return-rh`, `return-t`, `supply-rh`, `supply-t`, `airflow` in kg/s of dry air, `witness` in kg, scaled to
 *          the load; setting `minutes` before release, default 30
 * @unit    g/kg
 * @method  mean of return minus supply mixing ratio, less the slope of the witness (least squares) over the mean airflow
 * @refuses those of `wholeRun`, `lastOf`, `dryerMoments`, `coveredReadings`; `not-positive` without an airflow
 * @throws  RangeError for another setting, or minutes not above 0
 * @cost    O(n)
 * @source  conservation of mass; mixing ratio: WMO-No. 8, and IAPWS R7-97(2012) above 60 Cel
 * @checked tests/unit/spc/features/dry-unweighed.test.ts
 */
export function dryUnweighed(settings: Readonly<Record<string, number>>): FeatureExtractor {
  const { minutes } = featureNumbers("dry.unweighed", settings, { minutes: 30 });
  return guarded({
    id: "dry.unweighed",
    version: 1,
    unit: "g/kg",
    roles: [...probeRoles, "airflow", "witness"],
    roleUnits: { airflow: "kg/s", witness: "kg" },
    plusMinus: 0.25,
    extract(trace) {
      const load = wholeRun(trace.run);
      if (!load.ok) return load;
      const end = lastOf(load.value, minutes * 60_000);
      if (!end.ok) return end;
      const moments = dryerMoments(trace, end.value, true);
      if (!moments.ok) return moments;
      const witness = coveredReadings(trace, "witness", end.value);
      if (!witness.ok) return witness;
      const line = leastSquaresLine(witness.value.map(({ tMs, value }) => [(tMs - end.value.fromMs) / 1000, value]));
      if (!line.ok) return line;
      const air = mean(moments.value.map(({ airKgS }) => airKgS));
      if (!(air > 0)) return refuse("not-positive", "no air went through the dryer");
      const gained = mean(moments.value.map(({ returnGkg, supplyGkg }) => returnGkg - supplyGkg));
      return ok(gained + (1000 * line.value.slope) / air);
    },
  });
}
