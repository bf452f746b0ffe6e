import { type Outcome, ok, refuse } from "../model/outcome.ts";
import type { FeatureExtractor, RunTrace } from "../model/run.ts";
import { humidityRatio } from "../physics/humidity.ts";
import { mean } from "../stats/moments.ts";
import { featureNumbers, guarded } from "./extractor.ts";
import { coverageOf, coveredReadings, leastCoverage, type Reading, spacingOf } from "./readings.ts";
import { lastOf, type Window, wholeRun } from "./window.ts";

const roles: readonly string[] = ["return-rh", "return-t", "supply-rh", "supply-t"];

/**
 * `dry.dw_end`: how much water the air still took out of the load at its end; relative humidity alone does not tell.
 *
 * @shape   roles `return-rh`, `return-t`, `supply-rh`, `supply-t`; setting `minutes` before release, default 30
 * @unit    g/kg
 * @method  at each reading of return-rh with the other three within half a spacing: return minus supply humidity ratio
 *          at the site's ambient pressure; mean over the window, so the swing of the supply cancels
 * @refuses those of `wholeRun`, `lastOf`, `coveredReadings`; `coverage-too-low` when too few moments have all four
 *          readings within the range of the humidity formula
 * @throws  RangeError for another setting, or minutes not above 0
 * @cost    O(n)
 * @source  humidity ratio: WMO-No. 8; the rest common practice, no source
 * @checked tests/unit/spc/features/dry.test.ts
 */
export function dryDwEnd(settings: Readonly<Record<string, number>>): FeatureExtractor {
  const { minutes } = featureNumbers("dry.dw_end", settings, { minutes: 30 });
  return guarded({
    id: "dry.dw_end",
    version: 1,
    unit: "g/kg",
    roles,
    extract(trace) {
      const load = wholeRun(trace.run);
      if (!load.ok) return load;
      const end = lastOf(load.value, minutes * 60_000);
      return end.ok ? meanGain(trace, end.value) : end;
    },
  });
}

function meanGain(trace: RunTrace, window: Window): Outcome<number> {
  const every = spacingOf(trace, "return-rh");
  if (!every.ok) return every;
  const byRole: (readonly Reading[])[] = [];
  for (const role of roles) {
    const readings = coveredReadings(trace, role, window);
    if (!readings.ok) return readings;
    byRole.push(readings.value);
  }
  const [returnRh = [], ...others] = byRole;
  const nearest = others.map((readings) => nearestIn(readings, every.value / 2));
  const gains: Reading[] = [];
  for (const { tMs, value: rh } of returnRh) {
    const [t, supplyRh, supplyT] = nearest.map((find) => find(tMs));
    if (t === undefined || supplyRh === undefined || supplyT === undefined) continue;
    const out = humidityRatio(t, rh, trace.ambientPressureHpa);
    const into = humidityRatio(supplyT, supplyRh, trace.ambientPressureHpa);
    if (out.ok && into.ok) gains.push({ tMs, value: out.value - into.value });
  }
  const coverage = coverageOf(gains, window, every.value);
  if (coverage >= leastCoverage - 1e-9) return ok(mean(gains.map(({ value }) => value)));
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
