import { type PowerSpectrum, powerSpectrum } from "../library/fourier.ts";
import { type Outcome, ok, refuse } from "../model/outcome.ts";

/** What is kept of one block of waveform; all in the unit of the block but `f1`. */
export interface ReducedWaveform {
  readonly rms: number;
  /** 99.9th percentile of the magnitude: one or two stray samples do not move it. */
  readonly peak: number;
  /** Dominant frequency in Hz, or null where no line stands out of the rest. */
  readonly f1: number | null;
  /** RMS of the lines about half, one and two times `f1`; null without `f1`. */
  readonly half: number | null;
  readonly one: number | null;
  readonly two: number | null;
  /** RMS from 200 to 1000 Hz; null where the rate does not reach that far. */
  readonly hf: number | null;
  /** Mean: gravity and tilt, taken out of all the others. */
  readonly dc: number;
}

/** Measures that become a series each: `vibration-z.rms`. */
export const reducedMeasures: readonly (keyof ReducedWaveform)[] = [
  "rms",
  "peak",
  "f1",
  "half",
  "one",
  "two",
  "hf",
  "dc",
];

/** Where the drive of a vibrating table is looked for. Common practice, no source. */
const driveHz = { from: 5, to: 200 };
const highHz = { from: 200, to: 1000 };
/** Half-width of a line in spectral lines: the Hann window's main lobe and what a frequency between lines adds. */
const lineHalfWidth = 2.5;
/** Least share of the drive band's mean square that the dominant line must hold. Common practice, no source. */
const leastShare = 0.25;

/**
 * Reduces a block of waveform to the few numbers that are charted.
 *
 * @shape   block: samples at an even rate, all finite, 64 or more; one second of them by convention
 * @unit    that of the block ([g]); `f1` in Hz
 * @method  mean taken out; rms over time; peak: 99.9th percentile of |a - mean|, linear between order statistics;
 *          spectrum: periodic Hann window, zero-padded to a power of two, power scaled by 2 / (size * sum w^2) so that
 *          a band's lines sum to its mean square (Parseval); f1: largest line of 5 to 200 Hz, refined by a parabola
 *          through the logarithms of its neighbours; bands of a line: 2.5 lines (2.5 Hz in a second) to either side
 * @refuses `too-few-samples` below 64; `not-finite` for a sample that is no number
 * @throws  RangeError for a rate that is not above 0
 * @cost    O(n log n)
 * @source  definitions of mean square and Parseval's theorem; Hann window power correction: Heinzel, Ruediger and
 *          Schilling, Spectrum and spectral density estimation by the DFT (2002), from memory
 * @checked tests/reference/spc/vibration/reduce.test.ts
 */
export function reduceWaveform(block: Float64Array, rateHz: number): Outcome<ReducedWaveform> {
  if (!(rateHz > 0 && rateHz < Infinity)) throw new RangeError(`a waveform needs a rate above 0 Hz, got ${rateHz}`);
  const n = block.length;
  if (n < 64) {
    return refuse("too-few-samples", `a waveform block needs 64 samples or more, got ${n}`, { needs: 64, has: n });
  }
  const { window, windowed, power, spectrum, scale } = planFor(n);

  // Summed from the first sample, so that a channel that stands still has exactly no vibration.
  const first = block[0]!;
  let sum = 0;
  for (let i = 0; i < n; i += 1) sum += block[i]! - first;
  const dc = first + sum / n;
  let squares = 0;
  for (let i = 0; i < n; i += 1) {
    const a = block[i]! - dc;
    squares += a * a;
    windowed[i] = a * window[i]!;
  }
  if (!Number.isFinite(squares)) return refuse("not-finite", "a waveform block holds a sample that is not a number");

  spectrum.of(windowed, power);
  const lineHz = rateHz / spectrum.size;
  const bandMeanSquare = (fromHz: number, toHz: number): number => {
    const last = Math.min(Math.floor(toHz / lineHz), power.length - 1);
    let total = 0;
    for (let k = Math.max(Math.ceil(fromHz / lineHz), 1); k <= last; k += 1) total += power[k]!;
    return total * scale;
  };
  const halfWidthHz = (lineHalfWidth * rateHz) / n;
  const lineRms = (hz: number): number => Math.sqrt(bandMeanSquare(hz - halfWidthHz, hz + halfWidthHz));

  const candidate = dominantHz(power, lineHz);
  const drive = bandMeanSquare(driveHz.from, driveHz.to);
  const stands =
    candidate !== null &&
    drive > 0 &&
    bandMeanSquare(candidate - halfWidthHz, candidate + halfWidthHz) >= leastShare * drive;
  const f1 = stands ? candidate : null;
  return ok({
    rms: Math.sqrt(squares / n),
    peak: highMagnitude(block, dc),
    f1,
    half: f1 === null ? null : lineRms(f1 / 2),
    one: f1 === null ? null : lineRms(f1),
    two: f1 === null ? null : lineRms(2 * f1),
    hf: rateHz / 2 < highHz.to ? null : Math.sqrt(bandMeanSquare(highHz.from, highHz.to)),
    dc,
  });
}

/** The largest line of the drive band; null at the band's edges, where it may be the foot of one outside. */
function dominantHz(power: Float64Array, lineHz: number): number | null {
  const first = Math.max(Math.ceil(driveHz.from / lineHz), 1);
  const last = Math.min(Math.floor(driveHz.to / lineHz), power.length - 2);
  let top = first;
  for (let k = first + 1; k <= last; k += 1) if (power[k]! > power[top]!) top = k;
  const [before, at, after] = [power[top - 1] ?? 0, power[top] ?? 0, power[top + 1] ?? 0];
  if (!(at > 0) || before > at || after > at) return null;
  if (before === 0 || after === 0) return top * lineHz;
  const [l, c, r] = [Math.log(before), Math.log(at), Math.log(after)];
  const bend = l - 2 * c + r;
  return (top + (bend < 0 ? (0.5 * (l - r)) / bend : 0)) * lineHz;
}

/** 99.9th percentile of |a - dc|: only the few largest are kept in order, for a sort would cost more than the spectrum. */
function highMagnitude(block: Float64Array, dc: number): number {
  const rank = (block.length - 1) * 0.999;
  const below = Math.floor(rank);
  const largest = new Float64Array(block.length - below);
  for (let i = 0; i < block.length; i += 1) {
    const magnitude = Math.abs(block[i]! - dc);
    if (magnitude <= largest[0]!) continue;
    let place = 0;
    while (place + 1 < largest.length && largest[place + 1]! < magnitude) {
      largest[place] = largest[place + 1]!;
      place += 1;
    }
    largest[place] = magnitude;
  }
  return largest[0]! + (rank - below) * ((largest[1] ?? largest[0]!) - largest[0]!);
}

interface Plan {
  readonly window: Float64Array;
  readonly windowed: Float64Array;
  readonly power: Float64Array;
  readonly spectrum: PowerSpectrum;
  readonly scale: number;
}

/** Tables and scratch space by block length; the same whoever asks, and sources send one or two lengths. */
const plans = new Map<number, Plan>();

function planFor(n: number): Plan {
  const known = plans.get(n);
  if (known !== undefined) return known;
  const size = 2 ** Math.ceil(Math.log2(n));
  const window = Float64Array.from({ length: n }, (_, i) => 0.5 - 0.5 * Math.cos((2 * Math.PI * i) / n));
  const energy = window.reduce((total, w) => total + w * w, 0);
  const plan: Plan = {
    window,
    windowed: new Float64Array(size),
    power: new Float64Array(size / 2 + 1),
    spectrum: powerSpectrum(size),
    scale: 2 / (size * energy),
  };
  if (plans.size >= 16) plans.clear();
  plans.set(n, plan);
  return plan;
}
