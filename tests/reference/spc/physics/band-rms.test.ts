import { expect, test } from "vitest";
import { bandRms, type LineSpectrum } from "../../../../spc/physics/band-rms.ts";
import { reduceWaveform } from "../../../../spc/vibration/reduce.ts";
import { answerOf, codeOf } from "./outcome.ts";

const silent = (count: number): number[] => Array.from({ length: count }, () => 0);

/** A spectrum by definition, so slow that nothing can hide in it: peaks of sines, no window. */
function peaksOf(block: readonly number[]): number[] {
  const n = block.length;
  return Array.from({ length: n / 2 + 1 }, (_, k) => {
    let [re, im] = [0, 0];
    block.forEach((x, i) => {
      re += x * Math.cos((2 * Math.PI * k * i) / n);
      im += x * Math.sin((2 * Math.PI * k * i) / n);
    });
    return ((k === 0 || k === n / 2 ? 1 : 2) / n) * Math.hypot(re, im);
  });
}

test("a sine of 1.5 peak has an RMS of 1.06 in its band and nothing beside it", () => {
  const lines = silent(101);
  lines[40] = 1.5;
  const spectrum: LineSpectrum = { lineHz: 1, lines, of: "peak", noiseBandwidth: 1 };
  expect(answerOf(bandRms(spectrum, 35, 45))).toBeCloseTo(1.5 / Math.SQRT2, 12);
  expect(answerOf(bandRms(spectrum, 40, 41))).toBeCloseTo(1.5 / Math.SQRT2, 12);
  expect(answerOf(bandRms(spectrum, 41, 100))).toBe(0);
  lines[40] = 1.5 / Math.SQRT2;
  expect(answerOf(bandRms({ ...spectrum, of: "rms" }, 35, 45))).toBeCloseTo(1.5 / Math.SQRT2, 12);
});

test("a flat density of 0.002 over 800 Hz is the root of 1.6, whatever the window", () => {
  const lines = silent(2001).map(() => 0.002);
  const spectrum: LineSpectrum = { lineHz: 0.5, lines, of: "density", noiseBandwidth: 1.5 };
  // 200 and 1000 Hz both count, so there is one line more than 800 Hz hold.
  expect(answerOf(bandRms(spectrum, 200, 1000))).toBeCloseTo(Math.sqrt(0.002 * 800.5), 12);
});

test("a Hann window spreads a sine over three lines of 1/2, 1, 1/2: the noise bandwidth of 1.5 takes that back", () => {
  const lines = silent(101);
  lines[39] = 0.75;
  lines[40] = 1.5;
  lines[41] = 0.75;
  const spectrum: LineSpectrum = { lineHz: 1, lines, of: "peak", noiseBandwidth: 1.5 };
  expect(answerOf(bandRms(spectrum, 30, 50))).toBeCloseTo(1.5 / Math.SQRT2, 12);
});

test("the RMS over all lines is that of the samples, and of a band what the waveform's own reduction finds", () => {
  const rate = 512;
  const block = Array.from({ length: rate }, (_, i) => {
    const t = i / rate;
    return 3 * Math.sin(2 * Math.PI * 40 * t) + 0.5 * Math.sin(2 * Math.PI * 80 * t + 1) + 9.81;
  });
  const spectrum: LineSpectrum = { lineHz: 1, lines: peaksOf(block), of: "peak", noiseBandwidth: 1 };
  const reduced = answerOf(reduceWaveform(Float64Array.from(block), rate));
  expect(answerOf(bandRms(spectrum, 1, 255))).toBeCloseTo(Math.sqrt((9 + 0.25) / 2), 9);
  expect(answerOf(bandRms(spectrum, 1, 255))).toBeCloseTo(reduced.rms, 6);
  expect(answerOf(bandRms(spectrum, 75, 85))).toBeCloseTo(reduced.two!, 6);
});

test("a band that is not in the spectrum, or lines that are none, give no number", () => {
  const spectrum: LineSpectrum = { lineHz: 0.1, lines: silent(10_001), of: "peak", noiseBandwidth: 1 };
  expect(answerOf(bandRms(spectrum, 200, 1000))).toBe(0);
  for (const [from, to] of [
    [0, 100],
    [-5, 100],
    [100, 100],
    [200, 100],
    [200, 1000.2],
    [0.11, 0.19],
    [Number.NaN, 100],
    [100, Number.NaN],
    [100, Number.POSITIVE_INFINITY],
  ] as const) {
    expect(codeOf(bandRms(spectrum, from, to))).toBe("band-out-of-range");
  }
  expect(codeOf(bandRms({ ...spectrum, lines: [] }, 1, 2))).toBe("band-out-of-range");
  for (const bad of [Number.NaN, Number.POSITIVE_INFINITY, -1, 1e300]) {
    expect(codeOf(bandRms({ ...spectrum, lineHz: 1, lines: [0, bad, 0] }, 1, 2))).toBe("not-finite");
  }
  for (const bad of [0, -1, Number.NaN, Number.POSITIVE_INFINITY]) {
    expect(() => bandRms({ ...spectrum, lineHz: bad }, 1, 2)).toThrow(RangeError);
    expect(() => bandRms({ ...spectrum, noiseBandwidth: bad }, 1, 2)).toThrow(RangeError);
  }
});
