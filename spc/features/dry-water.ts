import { type Outcome, ok } from "../model/outcome.ts";
import type { FeatureExtractor, RunTrace } from "../model/run.ts";
import { type WaterBalance, waterBalance } from "../physics/dryer-water.ts";
import { differenceError } from "../physics/probe-pair.ts";
import { median } from "../stats/quantile.ts";
import { dryerMoments, probeRoles } from "./dryer-moments.ts";
import { pairDefaults, pairOf } from "./dryer-pair.ts";
import { featureNumbers, guarded } from "./extractor.ts";
import { wholeRun } from "./window.ts";

/** Numbers of the water balance: the pair of probes, and the share that the airflow may err by. */
export const waterDefaults: typeof pairDefaults & Readonly<Record<"airShare", number>> = {
  ...pairDefaults,
  airShare: 0.05,
};

/**
 * `dry.water`: how much water the air carried out of the load.
 *
 * @shape   roles `return-rh`, `return-t`, `supply-rh`, `supply-t`, `airflow` in kg/s of dry air; settings `airShare` (0.05)
 *          and the pair of probes as in `pairDefaults`
 * @unit    kg
 * @method  mass balance over the load: m_da (W_out - W_in), each moment standing for the time half-way to its neighbours;
 *          the airflow is measured, never assumed: with an assumed one a load of weak air looks as if it gave more water
 * @refuses those of `wholeRun`, `dryerMoments`, `differenceError`; `not-resolvable` where airflow and probes leave more than
 *          15 % of doubt; those of `waterBalance`
 * @throws  RangeError for another setting, or one not above 0
 * @cost    O(n)
 * @source  conservation of mass; WMO-No. 8; propagation: JCGM 100:2008, 5.1 (from memory)
 * @checked tests/unit/spc/features/dry-more.test.ts
 */
export function dryWater(settings: Readonly<Record<string, number>>): FeatureExtractor {
  const numbers = featureNumbers("dry.water", settings, waterDefaults);
  return guarded({
    id: "dry.water",
    version: 2,
    unit: "kg",
    roles: [...probeRoles, "airflow"],
    roleUnits: { airflow: "kg/s" },
    plusMinus: 3,
    extract(trace) {
      const balance = loadBalance(trace, numbers);
      return balance.ok ? ok(balance.value.waterKg) : balance;
    },
  });
}

/**
 * Water balance of a whole load.
 *
 * @shape   roles and numbers as in `dry.water`
 * @unit    kg
 * @refuses as `dry.water`
 * @cost    O(n)
 * @source  as `dry.water`
 * @checked tests/unit/spc/features/dry-more.test.ts
 */
export function loadBalance(trace: RunTrace, numbers: typeof waterDefaults): Outcome<WaterBalance> {
  const load = wholeRun(trace.run);
  if (!load.ok) return load;
  const found = dryerMoments(trace, load.value, true);
  if (!found.ok) return found;
  const moments = found.value;
  const { fromMs, toMs } = load.value;
  const steps = moments.flatMap((moment, i) => {
    const before = i === 0 ? fromMs : (moments[i - 1]!.tMs + moment.tMs) / 2;
    const after = i + 1 === moments.length ? toMs : (moment.tMs + moments[i + 1]!.tMs) / 2;
    const { airKgS, returnGkg, supplyGkg } = moment;
    return after > before ? [{ seconds: (after - before) / 1000, airKgS, returnGkg, supplyGkg }] : [];
  });
  const air = {
    tCel: median(moments.map(({ returnT }) => returnT)),
    rhPercent: median(moments.map(({ returnRh }) => returnRh)),
    pressureHpa: trace.ambientPressureHpa,
  };
  const error = differenceError(pairOf(trace, numbers), air);
  return error.ok ? waterBalance(steps, { airShare: numbers.airShare, differenceGkg: error.value }) : error;
}
