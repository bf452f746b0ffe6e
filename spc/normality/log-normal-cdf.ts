import { normalCdf } from "../library/normal.ts";

/** Beyond this the probability itself nears the smallest number there is, so that its logarithm comes from a series. */
const FAR = -20;
const HALF_LOG_TWO_PI = 0.5 * Math.log(2 * Math.PI);

/**
 * Logarithm of the normal's lower tail, which stays a number where the probability itself is none any more.
 *
 * @shape   any finite z
 * @unit    natural logarithm of a probability
 * @method  ln Phi(z) for z in -20 to 0, ln(1 - Phi(-z)) above; below -20 the asymptotic series
 *          -z^2/2 - ln(-z) - ln(2 pi)/2 + ln(1 - 1/z^2 + 3/z^4 - 15/z^6 + 105/z^8), good to 1e-12 there
 * @cost    O(1)
 * @source  Abramowitz and Stegun 26.2.12 (from memory)
 * @checked tests/reference/spc/normality/normality.test.ts
 */
export function logNormalCdf(z: number): number {
  if (z > 0) return Math.log1p(-normalCdf(-z));
  if (z > FAR) return Math.log(normalCdf(z));
  const s = 1 / (z * z);
  return -0.5 * z * z - Math.log(-z) - HALF_LOG_TWO_PI + Math.log1p(-s * (1 - s * (3 - s * (15 - s * 105))));
}
