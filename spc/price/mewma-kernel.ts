import { logGamma } from "../library/gamma.ts";

/**
 * Density of a noncentral chi-square: of the squared length of a vector of p independent normals of variance one.
 *
 * @shape   x and the squared length of the mean, both zero or more; p components
 * @unit    dimensionless
 * @method  1/2 e^(-(x + d) / 2) (x / 2)^(p/2 - 1) sum (x d / 4)^j / (j! gamma(p / 2 + j)), summed from its largest term
 *          outwards, so that nothing leaves the range of numbers; 0 where it is below e^-100
 * @cost    O(sqrt(x d)) terms
 * @source  definition; order of summation derived here
 * @checked tests/unit/spc/multivariate/mewma-run-length.test.ts
 */
export function noncentralDensity(x: number, d: number, p: number): number {
  const half = p / 2;
  if (x === 0) return p < 2 ? Number.POSITIVE_INFINITY : p > 2 ? 0 : 0.5 * Math.exp(-d / 2);
  // So far out that it adds nothing to any sum; most of the terms would be for this.
  if ((Math.sqrt(x) - Math.sqrt(d)) ** 2 > 200 + 4 * p) return 0;
  const product = (x * d) / 4;
  // The terms rise while product > (j + 1)(p / 2 + j), and fall from there on.
  const most = Math.max(0, Math.floor((Math.sqrt((half - 1) ** 2 + 4 * product) - half - 1) / 2));
  const log = (most === 0 ? 0 : most * Math.log(product)) - logGamma(most + 1) - logGamma(half + most);
  let sum = 1;
  let term = 1;
  for (let j = most; term > 1e-18 * sum; j += 1) {
    term *= product / ((j + 1) * (half + j));
    sum += term;
  }
  term = 1;
  for (let j = most; j > 0 && term > 1e-18 * sum; j -= 1) {
    term *= (j * (half + j - 1)) / product;
    sum += term;
  }
  return 0.5 * sum * Math.exp(log - (x + d) / 2 + (half - 1) * Math.log(x / 2));
}
