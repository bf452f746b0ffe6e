import { normalQuantile } from "../library/normal.ts";
import type { Outcome } from "../model/outcome.ts";
import { ok, refuse } from "../model/outcome.ts";
import { shapiroWilk } from "../normality/shapiro-wilk.ts";
import { valuesToFit } from "./fitted-values.ts";
import type { DistributionModel } from "./model.ts";
import { fitJohnson } from "./slifer-shapiro.ts";

/** The curve that makes the values straightest, the z it was found with, and how straight they then are. */
export interface SearchedJohnson {
  readonly model: DistributionModel;
  readonly z: number;
  /** Of the values bent to normal by the curve. After a search it flatters: it is for comparing curves, no test. */
  readonly w: number;
}

/** The z that are tried: 0.25 to 1.25 by hundredths. */
const HUNDREDTHS = { from: 25, to: 125 };

/**
 * Johnson searched: the curve, of those through quantiles at many z, that makes the values likest a normal.
 *
 * @shape   25 to 5000 finite values, in any order
 * @unit    that of the values
 * @method  `fitJohnson` for z from 0.25 to 1.25; each value to its normal score; the largest W of Shapiro and Wilk.
 *          A curve with a value beyond its ends is left out
 * @refuses too-few, too-many, zero-variation; no-fit when no z gives a curve that holds all values
 * @throws  RangeError for a value that is no number: a defect in the caller
 * @cost    O(n log n), a hundred times
 * @source  Chou, Polansky, Mason 1998, JQT 30:133-141 (from memory)
 * @checked tests/property/spc/models/johnson-search.test.ts
 */
export function searchJohnson(values: readonly number[]): Outcome<SearchedJohnson> {
  const checked = valuesToFit(values, "any");
  if (!checked.ok) return checked;
  const testable = shapiroWilk(values);
  if (!testable.ok) return testable;
  let best: SearchedJohnson | null = null;
  for (let hundredth = HUNDREDTHS.from; hundredth <= HUNDREDTHS.to; hundredth += 1) {
    const z = hundredth / 100;
    const found = fitJohnson(values, z);
    if (!found.ok) continue;
    const shares = values.map((value) => found.value.cdf(value));
    if (!shares.every((share) => share > 0 && share < 1)) continue;
    const straight = shapiroWilk(shares.map(normalQuantile));
    if (!straight.ok) continue;
    const w = straight.value.w;
    if (best === null || w > best.w) best = { model: found.value, z, w };
  }
  return best === null ? refuse("no-fit", "no Johnson curve holds all values") : ok(best);
}
