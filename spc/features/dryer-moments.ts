import { type Outcome, ok, refuse } from "../model/outcome.ts";
import type { RunTrace } from "../model/run.ts";
import { mixingRatio } from "../physics/mixing-ratio.ts";
import { coverageOf, coveredReadings, leastCoverage, type Reading, spacingOf } from "./readings.ts";
import type { Window } from "./window.ts";

export const probeRoles: readonly string[] = ["return-rh", "return-t", "supply-rh", "supply-t"];

/** One moment of a dryer's air at which all instruments that are asked have spoken. */
export interface DryerMoment {
  readonly tMs: number;
  readonly returnRh: number;
  readonly returnT: number;
  readonly returnGkg: number;
  readonly supplyGkg: number;
  /** Dry air in kg/s; 0 where it was not asked for. */
  readonly airKgS: number;
}

/**
 * The moments of a stretch of drying at which return and supply air, and the airflow where it is asked for, stand together.
 *
 * @shape   roles `return-rh`, `return-t`, `supply-rh`, `supply-t`, and `airflow` in kg/s of dry air if `withAir`
 * @unit    g/kg, kg/s
 * @method  each reading of return-rh with the others' nearest within half its spacing; mixing ratios at the site's ambient
 *          pressure
 * @refuses those of `coveredReadings`; `coverage-too-low` when too few moments have all within the formula's range
 * @cost    O(n)
 * @source  WMO-No. 8, chapter 4; IAPWS R7-97(2012), region 4 above 60 Cel
 * @checked tests/unit/spc/features/dry.test.ts
 */
export function dryerMoments(trace: RunTrace, window: Window, withAir = false): Outcome<readonly DryerMoment[]> {
  const every = spacingOf(trace, "return-rh");
  if (!every.ok) return every;
  const byRole: (readonly Reading[])[] = [];
  for (const role of withAir ? [...probeRoles, "airflow"] : probeRoles) {
    const readings = coveredReadings(trace, role, window);
    if (!readings.ok) return readings;
    byRole.push(readings.value);
  }
  const [returnRh = [], ...others] = byRole;
  const nearest = others.map((readings) => nearestIn(readings, every.value / 2));
  const moments: DryerMoment[] = [];
  for (const { tMs, value: rh } of returnRh) {
    const found = nearest.map((find) => find(tMs));
    const [t, supplyRh, supplyT] = found;
    const airKgS = withAir ? found[3] : 0;
    if (t === undefined || supplyRh === undefined || supplyT === undefined || airKgS === undefined) continue;
    const out = mixingRatio(t, rh, trace.ambientPressureHpa);
    const into = mixingRatio(supplyT, supplyRh, trace.ambientPressureHpa);
    if (!out.ok || !into.ok) continue;
    moments.push({ tMs, returnRh: rh, returnT: t, returnGkg: out.value, supplyGkg: into.value, airKgS });
  }
  const coverage = coverageOf(
    moments.map(({ tMs }) => ({ tMs, value: 0 })),
    window,
    every.value,
  );
  if (coverage >= leastCoverage - 1e-9) return ok(moments);
  const detail = `return and supply stand together within the formula's range for too little of ${window.name}`;
  return refuse("coverage-too-low", detail, { needs: leastCoverage, has: coverage });
}

/** Finds the reading nearest in time, at most `withinMs` off; asked in time order, so each reading is passed once. */
function nearestIn(readings: readonly Reading[], withinMs: number): (tMs: number) => number | undefined {
  let i = 0;
  return (tMs) => {
    const off = (place: number): number => Math.abs((readings[place]?.tMs ?? Number.POSITIVE_INFINITY) - tMs);
    while (off(i + 1) <= off(i) && i + 1 < readings.length) i += 1;
    return off(i) <= withinMs ? readings[i]?.value : undefined;
  };
}
