import { c4 } from "../factors/c4.ts";
import { d2 } from "../factors/d2.ts";
import { chiSquareCdf } from "../library/chi-square.ts";
import { logGamma } from "../library/gamma.ts";
import { seededNormals } from "./simulated-generator.ts";
import type { Simulation } from "./simulated-run-length.ts";

/** How an estimate of sigma, over the true one, is spread. */
export interface WidthLaw {
  /** Chance that it is at or below a width. */
  below(width: number): number;
  /** Mean of a function of it. */
  mean(of: (width: number) => number): number;
  /** How many draws it rests on; null where it is exact. */
  readonly draws: number | null;
}

/**
 * Width law of s: how s / c4 with some degrees of freedom is spread about sigma.
 *
 * @shape   degrees of freedom, a whole number of 1 or more; how fast what is averaged may grow, in units of exp(k^2
 *          width^2 / 2): 0 for what stays bounded
 * @unit    dimensionless, over sigma
 * @method  chi-square; means by the trapezoidal rule over chi, which is exact to the last digits for so smooth a density
 * @source  textbook distribution, no source; quadrature derived here
 * @checked tests/reference/spc/price-rules/estimated-limits.test.ts
 */
export function widthOfS(df: number, k: number): WidthLaw {
  const unit = Math.sqrt(df) * c4(df + 1);
  // What grows by exp(k^2 w^2 / 2) moves the weight outwards and widens it.
  const narrowing = Math.sqrt(Math.max(1 - (k / unit) ** 2, 0.01));
  const to = (Math.sqrt(df) + 12) / narrowing;
  const step = 0.05;
  const constant = (df / 2 - 1) * Math.LN2 + logGamma(df / 2);
  const nodes: { readonly width: number; readonly weight: number }[] = [];
  for (let chi = Math.max(step, step * Math.floor((Math.sqrt(df) - 12) / step)); chi < to; chi += step) {
    const weight = step * Math.exp((df - 1) * Math.log(chi) - (chi * chi) / 2 - constant);
    if (weight > 0) nodes.push({ width: chi / unit, weight });
  }
  return {
    below: (width) => (width <= 0 ? 0 : chiSquareCdf((width * unit) ** 2, df)),
    mean: (of) => nodes.reduce((sum, { width, weight }) => sum + weight * of(width), 0),
    draws: null,
  };
}

/**
 * Width law of a moving range: how mean moving range / d2 of so many values is spread about sigma.
 *
 * @shape   how many values, 2 or more; draws and seed
 * @unit    dimensionless, over sigma
 * @method  simulation: neighbouring ranges share a value, so no closed form is known
 * @cost    O(draws values)
 * @source  textbook algorithm, no source
 * @checked tests/reference/spc/price-rules/estimated-limits.test.ts
 */
export function widthOfMovingRange(values: number, { trials, seed }: Simulation): WidthLaw {
  const normal = seededNormals(seed);
  const unit = d2(2) * (values - 1);
  const widths = new Float64Array(trials);
  for (let draw = 0; draw < trials; draw += 1) {
    let last = normal();
    let sum = 0;
    for (let i = 1; i < values; i += 1) {
      const value = normal();
      sum += Math.abs(value - last);
      last = value;
    }
    widths[draw] = sum / unit;
  }
  widths.sort();
  return {
    below(width) {
      let from = 0;
      let to = trials;
      while (from < to) {
        const middle = (from + to) >> 1;
        if (widths[middle]! <= width) from = middle + 1;
        else to = middle;
      }
      return from / trials;
    },
    mean: (of) => widths.reduce((sum, width) => sum + of(width), 0) / trials,
    draws: trials,
  };
}
