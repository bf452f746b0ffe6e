import { type Outcome, ok, refuse } from "../model/outcome.ts";

/** A one-sided spectrum as an instrument sends it, from 0 Hz upwards in even steps. */
export interface LineSpectrum {
  /** Distance of two lines. */
  readonly lineHz: number;
  readonly lines: ArrayLike<number>;
  /** What a line is: the peak or the RMS of a sine there, or a density of mean square in unit^2/Hz. */
  readonly of: "peak" | "rms" | "density";
  /** Equivalent noise bandwidth of the window in lines: 1 without a window, 1.5 for Hann; of no matter for a density. */
  readonly noiseBandwidth: number;
}

/**
 * RMS of a band of a spectrum, such as 200 to 1000 Hz, where bearings are heard.
 *
 * @shape   spectrum: two lines or more, all finite and 0 or above; fromHz above 0, so that gravity stays out; lines at
 *          both ends count
 * @unit    that of the lines, RMS
 * @method  sum of mean squares: line^2 / 2 of peaks, line^2 of RMS, both over the noise bandwidth; line x lineHz of a density
 * @refuses `band-out-of-range` where the spectrum does not reach over the band, or no line lies in it; `not-finite` for a
 *          line that is no number of 0 or above, or whose square overflows
 * @throws  RangeError for a line distance or noise bandwidth that is not above 0
 * @cost    O(lines in the band)
 * @source  Parseval's theorem; noise bandwidths: Harris, On the use of windows (1978), from memory
 * @checked tests/reference/spc/physics/band-rms.test.ts
 */
export function bandRms(spectrum: LineSpectrum, fromHz: number, toHz: number): Outcome<number> {
  const { lineHz, lines, of, noiseBandwidth } = spectrum;
  for (const width of [lineHz, noiseBandwidth]) {
    if (!(width > 0 && width < 1e9)) throw new RangeError(`a spectrum's widths are above 0, got ${width}`);
  }
  const top = (lines.length - 1) * lineHz;
  // A hair of room, for 0.1 Hz times 2000 is not 200 Hz to the last bit.
  const first = Math.ceil(fromHz / lineHz - 1e-9);
  const last = Math.floor(toHz / lineHz + 1e-9);
  if (!(fromHz > 0 && toHz > fromHz && last <= lines.length - 1 && first <= last)) {
    const detail = `a spectrum of 0 to ${top} Hz in steps of ${lineHz} Hz does not hold a band of ${fromHz} to ${toHz} Hz`;
    return refuse("band-out-of-range", detail);
  }
  let meanSquare = 0;
  for (let k = Math.max(1, first); k <= last; k += 1) {
    const line = lines[k]!;
    if (!(line >= 0)) return refuse("not-finite", `line ${k} of a spectrum is no number of 0 or above: ${line}`);
    if (of === "density") meanSquare += line * lineHz;
    else meanSquare += (line * line) / (of === "peak" ? 2 : 1) / noiseBandwidth;
  }
  if (!Number.isFinite(meanSquare)) return refuse("not-finite", "a spectrum's mean square leaves the range of numbers");
  return ok(Math.sqrt(meanSquare));
}
