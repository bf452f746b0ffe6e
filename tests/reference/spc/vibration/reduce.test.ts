import { expect, test } from "vitest";
import { powerSpectrum } from "../../../../spc/library/fourier.ts";
import { type ReducedWaveform, reduceWaveform } from "../../../../spc/vibration/reduce.ts";

const tau = 2 * Math.PI;
const sampled = (n: number, rateHz: number, signal: (tS: number) => number): Float64Array =>
  Float64Array.from({ length: n }, (_, i) => signal(i / rateHz));
const second = (signal: (tS: number) => number): Float64Array => sampled(2048, 2048, signal);
const reduced = (block: Float64Array, rateHz = 2048): ReducedWaveform => {
  const outcome = reduceWaveform(block, rateHz);
  if (!outcome.ok) throw new Error(outcome.refusal.detail);
  return outcome.value;
};
/** mulberry32 through Box-Muller; the generator is public domain, the seed is fixed. */
function gaussian(seed: number): () => number {
  let state = seed;
  const uniform = (): number => {
    state = (state + 0x6d2b79f5) | 0;
    let t = Math.imul(state ^ (state >>> 15), 1 | state);
    t = (t + Math.imul(t ^ (t >>> 7), 61 | t)) ^ t;
    return ((t ^ (t >>> 14)) >>> 0) / 2 ** 32;
  };
  return () => Math.sqrt(-2 * Math.log(1 - uniform())) * Math.cos(tau * uniform());
}
const table = (seed: number, amplitude: number, extra: (tS: number) => number = () => 0): Float64Array => {
  const noise = gaussian(seed);
  const full = amplitude * 0.88;
  return second(
    (t) =>
      full * Math.sin(tau * 40 * t) +
      0.07 * amplitude * Math.sin(tau * 80 * t + 1) +
      0.03 * amplitude * Math.sin(tau * 120 * t + 2) +
      0.05 * noise() +
      extra(t),
  );
};

// Definitions: a_rms = a_peak / sqrt 2 for a sine; the mean square of a sum of whole sines is the sum of theirs.
test("a sine of 1.5 g peak has an RMS of 1.5 / sqrt 2 g, all of it in its line", () => {
  const wave = reduced(second((t) => 1.5 * Math.sin(tau * 40 * t + 0.3)));
  expect(wave.rms).toBeCloseTo(1.5 / Math.SQRT2, 12);
  expect(wave.one).toBeCloseTo(1.5 / Math.SQRT2, 9);
  expect(wave.peak).toBeCloseTo(1.5, 4);
  expect(wave.f1).toBeCloseTo(40, 6);
  expect(wave.hf).toBeLessThan(1e-6);
});

test("gravity and tilt are kept apart from the vibration", () => {
  const wave = reduced(second((t) => 0.98 + 0.1 * Math.sin(tau * 40 * t)));
  expect(wave.dc).toBeCloseTo(0.98, 12);
  expect(wave.rms).toBeCloseTo(0.1 / Math.SQRT2, 12);
  expect(wave.peak).toBeCloseTo(0.1, 4);
});

test("half, one and two times the drive, and the high band, are told apart", () => {
  const wave = reduced(
    second(
      (t) =>
        1.2 * Math.sin(tau * 42 * t) +
        0.3 * Math.sin(tau * 21 * t + 1) +
        0.2 * Math.sin(tau * 84 * t + 2) +
        0.1 * Math.sin(tau * 600 * t + 3),
    ),
  );
  expect(wave.f1).toBeCloseTo(42, 3);
  expect(wave.one).toBeCloseTo(1.2 / Math.SQRT2, 6);
  expect(wave.half).toBeCloseTo(0.3 / Math.SQRT2, 4);
  expect(wave.two).toBeCloseTo(0.2 / Math.SQRT2, 4);
  expect(wave.hf).toBeCloseTo(0.1 / Math.SQRT2, 4);
});

test.each([38.13, 39.5, 40.25, 41.77, 55.9])(
  "a drive of %d Hz is found within 0.02 Hz, its line within a 500th",
  (hz) => {
    const wave = reduced(second((t) => 1.5 * Math.sin(tau * hz * t + 0.7)));
    expect(Math.abs(wave.f1! - hz)).toBeLessThan(0.02);
    expect(Math.abs((wave.one! * Math.SQRT2) / 1.5 - 1)).toBeLessThan(0.002);
  },
);

test("white noise spreads over the band as its share of the spectrum", () => {
  // Bartlett: each line's power is chi-squared; over 800 lines of which a Hann window leaves about 420 independent,
  // the band's RMS has a relative standard deviation of 1 / (2 sqrt 420) = 2.4 %; four of them are allowed.
  const noise = gaussian(20261125);
  const wave = reduced(second(() => 0.05 * noise()));
  const expected = 0.05 * Math.sqrt(800 / 1024);
  expect(Math.abs(wave.hf! / expected - 1)).toBeLessThan(0.1);
  expect(wave.f1).toBeNull();
  expect(wave.one).toBeNull();
});

test.each([4, 8, 64, 256, 2048])("the transform of %i points agrees with the sum that defines it", (n) => {
  const draw = gaussian(n);
  const signal = Float64Array.from({ length: n }, draw);
  const power = new Float64Array(n / 2 + 1);
  powerSpectrum(n).of(signal, power);
  for (let k = 0; k <= n / 2; k += 1) {
    let [re, im] = [0, 0];
    for (let i = 0; i < n; i += 1) {
      re += signal[i]! * Math.cos((tau * ((k * i) % n)) / n);
      im -= signal[i]! * Math.sin((tau * ((k * i) % n)) / n);
    }
    expect(Math.abs(power[k]! - (re * re + im * im))).toBeLessThan(1e-9 * n);
  }
});

test("Parseval: the lines of a signal carry its whole mean square", () => {
  const draw = gaussian(7);
  const signal = Float64Array.from({ length: 2048 }, draw);
  const power = new Float64Array(1025);
  powerSpectrum(2048).of(signal, power);
  const lines = power.reduce((total, p, k) => total + (k === 0 || k === 1024 ? p : 2 * p), 0) / 2048 ** 2;
  const mean = signal.reduce((total, a) => total + a * a, 0) / 2048;
  expect(Math.abs(lines / mean - 1)).toBeLessThan(1e-12);
});

test.each([2560, 3200, 5000])("a second at %i Hz, no power of two, keeps levels and frequencies", (rateHz) => {
  const block = sampled(rateHz, rateHz, (t) => 1.5 * Math.sin(tau * 40.3 * t) + 0.1 * Math.sin(tau * 700 * t));
  const wave = reduced(block, rateHz);
  expect(Math.abs(wave.f1! - 40.3)).toBeLessThan(0.02);
  expect(Math.abs((wave.one! * Math.SQRT2) / 1.5 - 1)).toBeLessThan(0.002);
  expect(wave.hf).toBeCloseTo(0.1 / Math.SQRT2, 3);
});

test("a rate that does not reach 1000 Hz has no high band", () => {
  expect(
    reduced(
      sampled(1024, 1024, (t) => Math.sin(tau * 40 * t)),
      1024,
    ).hf,
  ).toBeNull();
});

test("one stray sample moves the peak hardly, a knock each turn moves it fully", () => {
  const stray = table(3, 1.5);
  const before = reduced(stray).peak;
  stray[777] = 16;
  expect(reduced(stray).peak - before).toBeLessThan(0.05);
  const knocks = reduced(table(3, 1.5, (t) => (Math.round(t * 2048) % 51 === 13 ? 2.5 : 0)));
  expect(knocks.peak).toBeGreaterThan(3);
});

// Our own simulation of a vibrating table, no outside source: 40 Hz, 1.5 g, flask full.
test("a healthy table reads as simulated: RMS 0.94, line 0.93, twice 0.074, high band 0.044 g", () => {
  const wave = reduced(table(11, 1.5));
  expect(wave.rms).toBeCloseTo(0.938, 2);
  expect(wave.one).toBeCloseTo(0.933, 2);
  expect(wave.two).toBeCloseTo(0.074, 2);
  expect(wave.half).toBeLessThan(0.01);
  expect(Math.abs(wave.hf! - 0.044)).toBeLessThan(0.004);
  expect(Math.abs(wave.peak / wave.rms - 1.64)).toBeLessThan(0.08);
});

test.each([
  [new Float64Array(10), 2048, "too-few-samples"],
  [new Float64Array(0), 2048, "too-few-samples"],
  [new Float64Array(2048).fill(Number.NaN), 2048, "not-finite"],
  [Float64Array.from({ length: 2048 }, (_, i) => (i === 5 ? Number.POSITIVE_INFINITY : 0)), 2048, "not-finite"],
  [Float64Array.from({ length: 2048 }, (_, i) => (i % 2 === 0 ? 1e300 : -1e300)), 2048, "not-finite"],
])("a block that deserves no number is refused (%#)", (block, rateHz, code) => {
  const outcome = reduceWaveform(block, rateHz);
  expect(outcome.ok ? "gave a number" : outcome.refusal.code).toBe(code);
});

test.each([0, -1, Number.NaN, Number.POSITIVE_INFINITY])("a rate of %d Hz is a defect in the caller", (rateHz) => {
  expect(() => reduceWaveform(new Float64Array(2048), rateHz)).toThrow(RangeError);
});

test("a dead channel has no vibration and no drive, and says so without a NaN", () => {
  expect(reduced(new Float64Array(2048).fill(0.98))).toEqual({
    rms: 0,
    peak: 0,
    f1: null,
    half: null,
    one: null,
    two: null,
    hf: 0,
    dc: 0.98,
  });
});
