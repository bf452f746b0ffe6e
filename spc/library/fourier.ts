import FFT from "fft.js";

/** Power of the lines 0 to size/2 of a real signal's discrete Fourier transform. */
export interface PowerSpectrum {
  readonly size: number;
  /** |X(k)|^2 of `signal` (of length `size`) into `power` (of length size/2 + 1), X unscaled: X(k) = sum x(n) e^(-2 pi i k n / size). */
  of(signal: Float64Array, power: Float64Array): void;
}

/** Plans a transform of `size` points, a power of two of 2 or more. Keeps its own scratch space. */
export function powerSpectrum(size: number): PowerSpectrum {
  const transform = new FFT(size);
  const spectrum = new Float64Array(2 * size);
  return {
    size,
    of(signal, power) {
      transform.realTransform(spectrum, signal);
      for (let k = 0; k <= size / 2; k += 1) {
        const re = spectrum[2 * k]!;
        const im = spectrum[2 * k + 1]!;
        power[k] = re * re + im * im;
      }
    },
  };
}
