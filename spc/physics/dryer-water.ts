import { type Outcome, ok, refuse } from "../model/outcome.ts";
import { notPositive, outside, shown } from "./range.ts";

/** A stretch of drying through which the numbers stood still, or their means over it. */
export interface DryingStep {
  readonly seconds: number;
  /** Dry air through the dryer, in kg/s. */
  readonly airKgS: number;
  readonly returnGkg: number;
  readonly supplyGkg: number;
}

/** Errors that last through the load, so that they do not average out; half-widths of one coverage. */
export interface BalanceErrors {
  /** Of the airflow, as a share: 0.05 is 5 %. */
  readonly airShare: number;
  /** Of the difference of mixing ratios, in g/kg: what `differenceError` gives. */
  readonly differenceGkg: number;
}

export interface WaterBalance {
  readonly waterKg: number;
  readonly plusMinusKg: number;
  readonly airKg: number;
}

/** Largest error of a balance that may still stand beside the expected water: more than this is a finding. */
const largestShare = 0.15;

/**
 * Water that dry air carries out of a dryer in an hour.
 *
 * @shape   airKgS: dry air, 0 to 100 kg/s; returnGkg, supplyGkg: mixing ratios, 0 to 10,000 g/kg
 * @unit    kg/h; below 0 where the load takes water up
 * @method  3.6 m_da (W_out - W_in)
 * @refuses `airflow-out-of-range`, `humidity-out-of-range`
 * @cost    O(1)
 * @source  conservation of mass, derived here
 * @checked tests/reference/spc/physics/dryer-water.test.ts
 */
export function waterRate(airKgS: number, returnGkg: number, supplyGkg: number): Outcome<number> {
  return (
    outside("airflow-out-of-range", "a water balance", airKgS, { from: 0, to: 100, unit: "kg/s" }) ??
    outside("humidity-out-of-range", "a water balance", returnGkg, { from: 0, to: 10_000, unit: "g/kg" }) ??
    outside("humidity-out-of-range", "a water balance", supplyGkg, { from: 0, to: 10_000, unit: "g/kg" }) ??
    ok(3.6 * airKgS * (returnGkg - supplyGkg))
  );
}

/**
 * Water balance of a load: what the air carried out, with the error that airflow and probes leave, to be compared with
 * what wet and dry weights of the load say.
 *
 * @shape   steps: one or more, each longer than 0 s, as in `waterRate`; errors: 0 or above
 * @unit    kg
 * @method  water = sum m_da (W_out - W_in) dt; error^2 = (share water)^2 + (error of the difference x air)^2: both errors
 *          are taken as lasting, which is the worst
 * @refuses `too-few` without steps; `not-positive` for a step of no length, or where no water went out on the whole;
 *          `not-resolvable` where the error is above 15 % of the water: a mismatch of 15 % is what the balance is for;
 *          those of `waterRate`
 * @throws  RangeError for errors that are no numbers of 0 or above
 * @cost    O(n)
 * @source  conservation of mass, derived here; propagation: JCGM 100:2008, 5.1 (from memory); 15 %: common practice, no source
 * @checked tests/reference/spc/physics/dryer-water.test.ts
 */
export function waterBalance(steps: readonly DryingStep[], errors: BalanceErrors): Outcome<WaterBalance> {
  const { airShare, differenceGkg } = errors;
  for (const error of [airShare, differenceGkg]) {
    if (!(error >= 0 && error < 1e6)) throw new RangeError(`an error of a balance is 0 or above, got ${error}`);
  }
  if (steps.length === 0) return refuse("too-few", "a water balance needs one step or more", { needs: 1, has: 0 });
  let waterKg = 0;
  let airKg = 0;
  for (const { seconds, airKgS, returnGkg, supplyGkg } of steps) {
    const timeless = notPositive("a step's length in s", seconds);
    if (timeless !== undefined) return timeless;
    const rate = waterRate(airKgS, returnGkg, supplyGkg);
    if (!rate.ok) return rate;
    waterKg += (rate.value * seconds) / 3600;
    airKg += airKgS * seconds;
  }
  if (!Number.isFinite(waterKg + airKg)) return refuse("not-finite", "the steps of a water balance cannot be added up");
  const none = notPositive("the water that the air carried out, in kg,", waterKg);
  if (none !== undefined) return none;
  const plusMinusKg = Math.hypot(airShare * waterKg, (differenceGkg / 1000) * airKg);
  // A hair is left for rounding where the airflow's error alone is the largest that may be.
  if (plusMinusKg > largestShare * waterKg * (1 + 1e-12)) {
    const detail = `airflow and probes leave ${shown(plusMinusKg)} kg of doubt about ${shown(waterKg)} kg of water`;
    return refuse("not-resolvable", detail, { needs: largestShare * waterKg, has: plusMinusKg });
  }
  return ok({ waterKg, plusMinusKg, airKg });
}
