import { normalQuantile } from "../library/normal.ts";

/** What several charts signal together by chance. */
export interface SharedLoad {
  /** Chance that at least one of them signals at a sampling. */
  readonly anySignal: number;
  /** Samplings from one such signal to the next. */
  readonly samplings: number;
}

/**
 * Shared load: how often at least one of several independent charts signals by chance.
 *
 * @shape   chance of a signal at one point of one chart, above 0 and below 1 (for run rules one over the run length, an
 *          approximation), and how many charts
 * @unit    dimensionless; samplings
 * @method  1 - (1 - a)^K, reckoned so that small chances keep their digits
 * @throws  RangeError for a chance outside 0 to 1, for no chart
 * @source  Sidak 1967, Journal of the American Statistical Association 62:626-633 (from memory)
 * @checked tests/reference/spc/price-rules/several-charts.test.ts
 */
export function sharedLoad(chance: number, charts: number): SharedLoad {
  check(chance, charts);
  const anySignal = -Math.expm1(charts * Math.log1p(-chance));
  return { anySignal, samplings: 1 / anySignal };
}

/** What each of several charts may do so that together they keep a chance. */
export interface Share {
  readonly chance: number;
  /** Half-width of limits with that chance, in sigma. */
  readonly limit: number;
}

/**
 * Share of a chart: the chance and the limits for each of several independent charts that together keep a chance.
 *
 * @shape   the chance that any of them signals at a sampling, above 0 and below 1, and how many charts
 * @unit    dimensionless; sigma
 * @method  1 - (1 - a)^(1/K), and the two-sided normal limit with that chance
 * @throws  RangeError for a chance outside 0 to 1, for no chart
 * @source  Sidak 1967, Journal of the American Statistical Association 62:626-633 (from memory)
 * @checked tests/reference/spc/price-rules/several-charts.test.ts
 */
export function shareOfChart(family: number, charts: number): Share {
  check(family, charts);
  const chance = -Math.expm1(Math.log1p(-family) / charts);
  return { chance, limit: -normalQuantile(chance / 2) };
}

function check(chance: number, charts: number): void {
  if (!(chance > 0 && chance < 1)) throw new RangeError(`a chance above 0 and below 1 is needed, got ${chance}`);
  if (!Number.isInteger(charts) || charts < 1) throw new RangeError(`a number of charts is needed, got ${charts}`);
}
