import { chiSquareQuantile } from "../library/chi-square.ts";
import { fredholm, gaussLegendre } from "./integral-equation.ts";
import { noncentralDensity } from "./mewma-kernel.ts";

/**
 * Run length of a MEWMA: how many points pass, on average, until chance alone crosses its limit.
 *
 * @shape   p components, one or more; lambda; the limit h of T2
 * @unit    dimensionless, points
 * @method  L(r) = 1 + integral of L(s) k(s, r) ds over the lengths s of Z within the limit, k by the noncentral
 *          chi-square: (s / lambda)^2 with p and ((1 - lambda) r / lambda)^2; Gauss-Legendre. Known parameters, settled
 *          covariance, from Z = 0
 * @throws  RangeError for p that is no whole number of components, lambda outside 0.001 to 1 or h not above zero: a
 *          defect in the caller
 * @cost    one linear system, some milliseconds
 * @source  Runger and Prabhu 1996 (from memory)
 * @checked tests/reference/spc/multivariate/mewma.test.ts
 */
export function mewmaRunLength(p: number, lambda: number, h: number): number {
  checkMewma(p, lambda);
  if (!(h > 0 && Number.isFinite(h))) throw new RangeError(`a limit of T2 lies above zero, got ${h}`);
  const reach = Math.sqrt((h * lambda) / (2 - lambda));
  // Enough for twelve digits at 40; more where the limit is wide beside one step.
  const n = Math.max(40, Math.min(800, Math.ceil(24 + (6 * reach) / lambda)));
  const over = gaussLegendre(n, 0, reach);
  const kernel = (from: number, to: number): number =>
    ((2 * to) / lambda ** 2) * noncentralDensity((to / lambda) ** 2, (((1 - lambda) * from) / lambda) ** 2, p);
  const rest = fredholm(over, kernel)(new Float64Array(n).fill(1));
  let length = 1;
  for (let j = 0; j < n; j += 1) length += over.weights[j]! * kernel(0, over.nodes[j]!) * rest[j]!;
  return length;
}

/**
 * Limit of a MEWMA: the h whose run length, while nothing is wrong, is what was asked for.
 *
 * @shape   p components, lambda, the run length asked for
 * @unit    dimensionless
 * @method  root of log(run length) in h between 0 and the limit of single points, by false position (Illinois)
 * @throws  RangeError for a run length outside 10 to 1e7, and as `mewmaRunLength`: a defect in the caller
 * @cost    about ten run lengths: a tenth of a second, and seconds for lambda below 0.01
 * @source  Prabhu and Runger 1997, Journal of Quality Technology 29:8-15 (from memory)
 * @checked tests/reference/spc/multivariate/mewma.test.ts
 */
export function mewmaLimitFor(p: number, lambda: number, runLength: number): number {
  checkMewma(p, lambda);
  if (!(runLength >= 10 && runLength <= 1e7))
    throw new RangeError(`a run length must lie from 10 to 1e7, got ${runLength}`);
  const most = chiSquareQuantile(1 - 1 / runLength, p);
  if (lambda === 1) return most;
  const off = (h: number): number => Math.log(mewmaRunLength(p, lambda, h) / runLength);
  // Down from the limit that is right for points without memory, until the run length is too short.
  let [high, highOff] = [most, off(most)];
  let [low, lowOff] = [most, highOff];
  while (lowOff > 0) {
    [high, highOff] = [low, lowOff];
    low *= 0.8;
    lowOff = off(low);
  }
  for (let round = 0; round < 100 && high - low > 1e-13 * high; round += 1) {
    const middle = (low * highOff - high * lowOff) / (highOff - lowOff);
    const at = middle > low && middle < high ? middle : (low + high) / 2;
    const here = off(at);
    if (Math.abs(here) < 1e-13) return at;
    if (here < 0) [low, lowOff, highOff] = [at, here, highOff / 2];
    else [high, highOff, lowOff] = [at, here, lowOff / 2];
  }
  return (low + high) / 2;
}

function checkMewma(p: number, lambda: number): void {
  if (!(Number.isInteger(p) && p >= 1)) throw new RangeError(`a vector has one or more components, got ${p}`);
  if (!(lambda >= 0.001 && lambda <= 1)) throw new RangeError(`lambda must lie from 0.001 to 1, got ${lambda}`);
}
