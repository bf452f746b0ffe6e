import { type Outcome, ok, refuse } from "../model/outcome.ts";
import { notPositive } from "./range.ts";

/** A rolling bearing; both diameters in one unit. */
export interface RollingBearing {
  readonly balls: number;
  readonly ballDiameter: number;
  readonly pitchDiameter: number;
  readonly contactDegrees: number;
}

/**
 * Force of unbalanced motors at one speed over that at another: it falls with the square of the speed.
 *
 * @shape   hz, ratedHz: above 0
 * @unit    dimensionless, 1 at the rated speed
 * @method  (f / f0)^2
 * @refuses `not-positive`; `not-finite` where the ratio overflows
 * @cost    O(1)
 * @source  centrifugal force m e omega^2
 * @checked tests/reference/spc/physics/rotating.test.ts
 */
export function unbalanceForce(hz: number, ratedHz: number): Outcome<number> {
  const strange = notPositive("a motor's speed in Hz", hz) ?? notPositive("a motor's rated speed in Hz", ratedHz);
  if (strange !== undefined) return strange;
  const ratio = (hz / ratedHz) ** 2;
  return Number.isFinite(ratio)
    ? ok(ratio)
    : refuse("not-finite", `${hz} over ${ratedHz} Hz leaves the range of numbers`);
}

/**
 * Crest factor: peak over RMS, sqrt(2) for a sine and more where something knocks.
 *
 * @shape   peak, rms: above 0, of one unit and one window
 * @unit    dimensionless, 1 or above
 * @method  peak / rms
 * @refuses `not-positive`; `crest-out-of-range` for a peak below the RMS, which no signal has
 * @cost    O(1)
 * @source  definition
 * @checked tests/reference/spc/physics/rotating.test.ts
 */
export function crestFactor(peak: number, rms: number): Outcome<number> {
  const strange = notPositive("a peak", peak) ?? notPositive("an RMS", rms);
  if (strange !== undefined) return strange;
  const crest = peak / rms;
  // A square wave has a crest of one, which rounding may put a hair lower.
  if (!(crest >= 1 - 1e-12))
    return refuse("crest-out-of-range", `no signal has a peak, ${peak}, below its RMS, ${rms}`);
  return Number.isFinite(crest)
    ? ok(Math.max(1, crest))
    : refuse("not-finite", `${peak} over ${rms} leaves the range of numbers`);
}

/**
 * Frequency at which balls pass a flaw of the outer race, where a worn bearing shows in a spectrum.
 *
 * @shape   turnsHz: above 0; balls: integer of 3 or more; ball smaller than the pitch diameter; contactDegrees: 0 to 60
 * @unit    Hz
 * @method  (n / 2) f (1 - (d / D) cos phi)
 * @refuses `not-positive`; `bearing-out-of-range` for such a bearing
 * @cost    O(1)
 * @source  kinematics of rolling without slip (from memory)
 * @checked tests/reference/spc/physics/rotating.test.ts
 */
export function outerRaceFrequency(turnsHz: number, bearing: RollingBearing): Outcome<number> {
  const { balls, ballDiameter, pitchDiameter, contactDegrees } = bearing;
  const strange =
    notPositive("a shaft's speed in Hz", turnsHz) ??
    notPositive("a ball's diameter", ballDiameter) ??
    notPositive("a pitch diameter", pitchDiameter);
  if (strange !== undefined) return strange;
  const fits = Number.isInteger(balls) && balls >= 3 && balls <= 1000 && ballDiameter < pitchDiameter;
  if (!fits || !(contactDegrees >= 0 && contactDegrees <= 60)) {
    const has = `${balls} balls of ${ballDiameter} on ${pitchDiameter}, ${contactDegrees} degrees`;
    return refuse("bearing-out-of-range", `no rolling bearing has ${has}`);
  }
  const hz = (balls / 2) * turnsHz * (1 - (ballDiameter / pitchDiameter) * Math.cos((contactDegrees * Math.PI) / 180));
  return Number.isFinite(hz) ? ok(hz) : refuse("not-finite", `a shaft of ${turnsHz} Hz leaves the range of numbers`);
}

/**
 * Shortest window in which a beat between two motors can be seen.
 *
 * @shape   differenceHz: above 0
 * @unit    s
 * @method  1 / difference: one turn of the beat
 * @refuses `not-positive`; `not-finite`
 * @cost    O(1)
 * @source  resolution of a spectrum of T seconds is 1 / T
 * @checked tests/reference/spc/physics/rotating.test.ts
 */
export function beatWindow(differenceHz: number): Outcome<number> {
  const strange = notPositive("a difference of speeds in Hz", differenceHz);
  if (strange !== undefined) return strange;
  const seconds = 1 / differenceHz;
  return Number.isFinite(seconds)
    ? ok(seconds)
    : refuse("not-finite", `${differenceHz} Hz leaves the range of numbers`);
}

/**
 * Least sampling rate for the highest frequency wanted, with an analogue filter before the converter.
 *
 * @shape   highestHz: above 0
 * @unit    Hz
 * @method  2.56 f
 * @refuses `not-positive`; `not-finite`
 * @cost    O(1)
 * @source  common practice, no source; the theorem asks for more than 2
 * @checked tests/reference/spc/physics/rotating.test.ts
 */
export function leastSamplingRate(highestHz: number): Outcome<number> {
  const strange = notPositive("a highest frequency in Hz", highestHz);
  if (strange !== undefined) return strange;
  const hz = 2.56 * highestHz;
  return Number.isFinite(hz) ? ok(hz) : refuse("not-finite", `${highestHz} Hz leaves the range of numbers`);
}
