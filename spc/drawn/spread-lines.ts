import { c4 } from "../factors/c4.ts";
import { d2 } from "../factors/d2.ts";
import { d3 } from "../factors/d3.ts";
import { rangeQuantile } from "../factors/range-distribution.ts";
import { chiSquareQuantile } from "../library/chi-square.ts";
import { normalCdf } from "../library/normal.ts";
import type { ChartDesign } from "../model/chart-design.ts";
import type { Outcome, Refusal } from "../model/outcome.ts";
import { ok, refuse } from "../model/outcome.ts";
import type { SubgroupSizes } from "../sigma/subgroup-moments.ts";
import { subgroupSizes } from "../sigma/subgroup-moments.ts";
import type { Lines } from "./lines.ts";
import { lineBySize } from "./lines.ts";

/** One less the chance of fewer sigma than this keeps a digit or two; of more, none. */
const MOST_SIGMA_EXACT = 7.5;

/** How a spread statistic of n standard normal values behaves. */
interface Behaviour {
  readonly mean: (n: number) => number;
  readonly sd: (n: number) => number;
  readonly quantile: (p: number, n: number) => number;
}

/** A moving range of two is the range of one subgroup of two. */
const ONE_PAIR = Uint32Array.of(0, 2);

const ofRange: Behaviour = { mean: d2, sd: d3, quantile: rangeQuantile };
const ofS: Behaviour = {
  mean: c4,
  sd: (n) => Math.sqrt(1 - c4(n) ** 2),
  quantile: (p, n) => Math.sqrt(chiSquareQuantile(p, n - 1) / (n - 1)),
};

/**
 * Lines of a range chart: how wide subgroups of each size are while single values vary by sigma.
 *
 * @shape   starts of all subgroups, or their sizes where those are known, sigma of single values, the design
 * @unit    that of the characteristic
 * @method  d2 sigma, and k d3 sigma to either side, not below 0; `exact`: quantiles of the range with the chances
 *          that k sigma leave in a normal
 * @refuses too-few where no subgroup has two values; chance-too-small for exact limits beyond 7.5 sigma
 * @cost    O(m); one quadrature a size
 * @source  ISO 7870-2; NIST/SEMATECH e-Handbook 6.3.2.1 (both from memory)
 * @checked tests/reference/spc/drawn-variables/averages.test.ts
 */
export function rangeLines(from: Uint32Array | SubgroupSizes, sigma: number, design: ChartDesign): Outcome<Lines> {
  return spreadLines(from, sigma, design, ofRange);
}

/**
 * Lines of a chart of standard deviations: what s subgroups of each size have while single values vary by sigma.
 *
 * @shape   starts of all subgroups, or their sizes where those are known, sigma of single values, the design
 * @unit    that of the characteristic
 * @method  c4 sigma, and k sqrt(1 - c4^2) sigma to either side, not below 0; `exact`: sigma sqrt(chi^2 / (n - 1)) at
 *          the chances that k sigma leave in a normal
 * @refuses too-few where no subgroup has two values; chance-too-small for exact limits beyond 7.5 sigma
 * @cost    O(m)
 * @source  ISO 7870-2; NIST/SEMATECH e-Handbook 6.3.2.1 (both from memory)
 * @checked tests/reference/spc/drawn-variables/averages.test.ts
 */
export function sLines(from: Uint32Array | SubgroupSizes, sigma: number, design: ChartDesign): Outcome<Lines> {
  return spreadLines(from, sigma, design, ofS);
}

/**
 * Lines of a chart of moving ranges of two.
 *
 * @shape   sigma of the plotted points, the design
 * @unit    that of the points
 * @method  d2 sigma, 0, and k d3 sigma above; `exact`: the quantile of the range with the chance that k sigma leave
 *          above in a normal. The lower limit stays 0: two equal readings in a row are no news
 * @refuses chance-too-small for exact limits beyond 7.5 sigma
 * @cost    O(1)
 * @source  NIST/SEMATECH e-Handbook 6.3.2.2; lower limit: common practice, no source
 * @checked tests/reference/spc/drawn-variables/individuals.test.ts
 */
export function movingRangeLines(sigma: number, design: ChartDesign): Outcome<Lines> {
  const lines = spreadLines(ONE_PAIR, sigma, design, ofRange);
  return lines.ok ? ok({ ...lines.value, lower: 0 }) : lines;
}

/**
 * Refusal of exact limits so far out that one less their chance is lost in rounding.
 *
 * @shape   the design; null where its limits can be had
 * @unit    dimensionless, half-widths in sigma
 * @refuses chance-too-small beyond 7.5 sigma
 * @source  derived here: 1 - Phi(7.5) is 3e-14, of which a number near 1 keeps two digits
 * @checked tests/unit/spc/drawn-variables/designs.test.ts
 */
export function chanceLost({ k, limits }: ChartDesign): Refusal | null {
  if (limits !== "exact" || k <= MOST_SIGMA_EXACT) return null;
  const detail = `exact limits reach to ${MOST_SIGMA_EXACT} sigma, not to ${k}`;
  return refuse("chance-too-small", detail, { needs: MOST_SIGMA_EXACT, has: k }).refusal;
}

function spreadLines(
  from: Uint32Array | SubgroupSizes,
  sigma: number,
  design: ChartDesign,
  of: Behaviour,
): Outcome<Lines> {
  const sizes = from instanceof Uint32Array ? subgroupSizes(from) : from;
  const { largest } = sizes;
  if (largest < 2) return refuse("too-few", "a subgroup of one has no spread", { needs: 2, has: largest });
  const { k, limits } = design;
  const lost = chanceLost(design);
  if (lost !== null) return { ok: false, refusal: lost };
  const exact = limits === "exact";
  const below = exact
    ? (n: number) => of.quantile(normalCdf(-k), n)
    : (n: number) => Math.max(0, of.mean(n) - k * of.sd(n));
  const above = exact ? (n: number) => of.quantile(normalCdf(k), n) : (n: number) => of.mean(n) + k * of.sd(n);
  return ok({
    centre: lineBySize(sizes, 2, (n) => of.mean(n) * sigma),
    sigma: lineBySize(sizes, 2, (n) => of.sd(n) * sigma),
    lower: lineBySize(sizes, 2, (n) => below(n) * sigma),
    upper: lineBySize(sizes, 2, (n) => above(n) * sigma),
  });
}
