/** Mean and standard deviation of the square root of |z|, z a standard normal: 2^(1/4) Gamma(3/4) / sqrt(pi), sqrt(2 / pi) less its square. */
const ROOT_MEAN = 0.8221789586623885;
const ROOT_SD = Math.sqrt(Math.sqrt(2 / Math.PI) - ROOT_MEAN ** 2);

/**
 * Scale score: what a standardised point says of the spread; near normal with mean 0 and sigma 1 in control.
 *
 * @shape   z, finite
 * @unit    dimensionless
 * @method  (sqrt|z| - 0.822179) / 0.349151, the exact moments of what the source rounds to 0.822 and 0.349
 * @cost    O(1)
 * @source  Hawkins 1981, Journal of Quality Technology 13:228-231 (from memory)
 * @checked tests/unit/spc/time-weighted/cusum.test.ts
 */
export function scaleScore(z: number): number {
  return (Math.sqrt(Math.abs(z)) - ROOT_MEAN) / ROOT_SD;
}
