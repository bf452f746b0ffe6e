import { type Outcome, ok } from "../model/outcome.ts";
import { outside } from "./range.ts";

/** Standard gravity, exact by definition, in m/s2. */
const standardGravity = 9.80665;

const validHz = { from: 0.1, to: 20_000, unit: "Hz" };
const validSize = { from: 0, to: 1e9, unit: "of its unit" };

/** Peak of a sine over its RMS; `g peak` and `g RMS` never share a chart. */
const peakOverRms = Math.SQRT2;

/**
 * RMS of a sine of a peak: 1.5 g peak is 1.06 g RMS. Of a sine only: what shakes otherwise has its own crest factor.
 *
 * @shape   peak: 0 or above
 * @unit    that of the peak
 * @method  peak / sqrt(2)
 * @refuses `amplitude-out-of-range`
 * @cost    O(1)
 * @source  mean square of a sine
 * @checked tests/reference/spc/physics/sine-vibration.test.ts
 */
export function rmsOfSine(peak: number): Outcome<number> {
  return noAmplitude(peak) ?? ok(peak / peakOverRms);
}

/**
 * Peak of a sine of an RMS: the way back of `rmsOfSine`.
 *
 * @shape   rms: 0 or above
 * @unit    that of the RMS
 * @method  rms sqrt(2)
 * @refuses `amplitude-out-of-range`
 * @cost    O(1)
 * @source  mean square of a sine
 * @checked tests/reference/spc/physics/sine-vibration.test.ts
 */
export function peakOfSine(rms: number): Outcome<number> {
  return noAmplitude(rms) ?? ok(rms * peakOverRms);
}

/**
 * Velocity of a sine of an acceleration; peak gives peak, RMS gives RMS.
 *
 * @shape   g: 0 or above, in units of standard gravity; hz: 0.1 to 20,000 Hz
 * @unit    mm/s
 * @method  1000 a / (2 pi f)
 * @refuses `amplitude-out-of-range`, `frequency-out-of-range`
 * @cost    O(1)
 * @source  derivative of a sine; standard gravity 9.80665 m/s2
 * @checked tests/reference/spc/physics/sine-vibration.test.ts
 */
export function velocityOfSine(g: number, hz: number): Outcome<number> {
  return noAmplitude(g) ?? noFrequency(hz) ?? ok((1000 * g * standardGravity) / (2 * Math.PI * hz));
}

/**
 * Acceleration of a sine of a velocity: the way back of `velocityOfSine`.
 *
 * @shape   mmS: 0 or above; hz: 0.1 to 20,000 Hz
 * @unit    [g]; peak gives peak, RMS gives RMS
 * @method  2 pi f v / (1000 g0)
 * @refuses `amplitude-out-of-range`, `frequency-out-of-range`
 * @cost    O(1)
 * @source  derivative of a sine; standard gravity 9.80665 m/s2
 * @checked tests/reference/spc/physics/sine-vibration.test.ts
 */
export function accelerationOfVelocity(mmS: number, hz: number): Outcome<number> {
  return noAmplitude(mmS) ?? noFrequency(hz) ?? ok((2 * Math.PI * hz * mmS) / (1000 * standardGravity));
}

/**
 * Stroke of a sine of a peak acceleration: how far the table travels from one end to the other.
 *
 * @shape   gPeak: 0 or above; hz: 0.1 to 20,000 Hz
 * @unit    mm, peak to peak
 * @method  2 x 1000 a / (2 pi f)^2
 * @refuses `amplitude-out-of-range`, `frequency-out-of-range`
 * @cost    O(1)
 * @source  second derivative of a sine; standard gravity 9.80665 m/s2
 * @checked tests/reference/spc/physics/sine-vibration.test.ts
 */
export function strokeOfSine(gPeak: number, hz: number): Outcome<number> {
  return noAmplitude(gPeak) ?? noFrequency(hz) ?? ok((2000 * gPeak * standardGravity) / (2 * Math.PI * hz) ** 2);
}

/**
 * Peak acceleration of a sine of a stroke: the way back of `strokeOfSine`.
 *
 * @shape   mmPeakToPeak: 0 or above; hz: 0.1 to 20,000 Hz
 * @unit    [g], peak
 * @method  (2 pi f)^2 x / (2 x 1000 g0)
 * @refuses `amplitude-out-of-range`, `frequency-out-of-range`
 * @cost    O(1)
 * @source  second derivative of a sine; standard gravity 9.80665 m/s2
 * @checked tests/reference/spc/physics/sine-vibration.test.ts
 */
export function accelerationOfStroke(mmPeakToPeak: number, hz: number): Outcome<number> {
  return (
    noAmplitude(mmPeakToPeak) ??
    noFrequency(hz) ??
    ok(((2 * Math.PI * hz) ** 2 * mmPeakToPeak) / (2000 * standardGravity))
  );
}

const noAmplitude = (size: number): Refused => outside("amplitude-out-of-range", "a vibration", size, validSize);
const noFrequency = (hz: number): Refused => outside("frequency-out-of-range", "a vibration", hz, validHz);

type Refused = ReturnType<typeof outside>;
