import { normalQuantile } from "../library/normal.ts";
import type { Outcome } from "../model/outcome.ts";
import { ok, refuse } from "../model/outcome.ts";
import { nearestInterval } from "./interval.ts";

/** No study has more values; a need beyond is told as beyond reach. */
const MOST_VALUES = 1e9;

/**
 * Demonstrated index: the Cpk or Ppk that the data show at least, one-sided, as acceptance asks for it.
 *
 * @shape   the estimate, the count of values behind the mean, the degrees of freedom of sigma, the confidence
 * @unit    dimensionless
 * @method  Bissell's lower bound: the lower end of the two-sided interval with confidence 2 c - 1
 * @throws  RangeError for counts below one or a confidence that is not between one half and one: a defect in the caller
 * @source  Bissell 1990, Applied Statistics 39:331-340 (from memory)
 * @checked tests/reference/spc/capability/demonstrated.test.ts
 */
export function demonstratedIndex(estimate: number, n: number, df: number, confidence: number): number {
  checkConfidence(confidence);
  return nearestInterval(estimate, n, df, 2 * confidence - 1).lower;
}

/**
 * Required index: what must be observed so that the wanted Cpk or Ppk is demonstrated.
 *
 * @shape   the index wanted, zero or more; the count of values, the degrees of freedom of sigma, the confidence
 * @unit    dimensionless
 * @method  Bissell's lower bound set equal to the wanted index and solved: the larger root of
 *          x^2 (1 - z^2 / (2 df)) - 2 w x + w^2 - z^2 / (9 n) = 0
 * @refuses too-few when df is at most z^2 / 2: then no observation whatever would show it
 * @throws  RangeError for counts below one or a confidence that is not between one half and one: a defect in the caller
 * @source  Bissell 1990, Applied Statistics 39:331-340 (from memory); solution derived here
 * @checked tests/reference/spc/capability/demonstrated.test.ts
 */
export function requiredIndex(wanted: number, n: number, df: number, confidence: number): Outcome<number> {
  checkConfidence(confidence);
  if (!(n >= 1 && df >= 1)) throw new RangeError(`a bound needs n and df of one or more, got ${n}, ${df}`);
  const z = normalQuantile(confidence);
  const a = 1 - (z * z) / (2 * df);
  if (!(a > 0)) {
    const needs = Math.floor((z * z) / 2) + 1;
    return refuse("too-few", `${df} degrees of freedom show no index at this confidence`, { needs, has: df });
  }
  const constant = wanted * wanted - (z * z) / (9 * n);
  return ok((wanted + Math.sqrt(wanted * wanted - a * constant)) / a);
}

/**
 * Values needed: how many it takes until an observed Cpk or Ppk demonstrates the wanted one.
 *
 * @shape   the index observed, the index wanted, the confidence; degrees of freedom n - 1
 * @unit    dimensionless, a count of values
 * @method  least n whose lower bound by Bissell reaches the wanted index, by bisection, for the bound grows with n
 * @refuses not-attainable when the observed index is no higher than the wanted one, or by too little
 * @throws  RangeError for a confidence that is not between one half and one: a defect in the caller
 * @source  Bissell 1990, Applied Statistics 39:331-340 (from memory)
 * @checked tests/reference/spc/capability/demonstrated.test.ts
 */
export function valuesNeeded(observed: number, wanted: number, confidence: number): Outcome<number> {
  checkConfidence(confidence);
  const shows = (n: number): boolean => demonstratedIndex(observed, n, n - 1, confidence) >= wanted;
  if (!shows(MOST_VALUES)) {
    return refuse(
      "not-attainable",
      `an observed index of ${observed} shows none of ${wanted}, however many the values`,
    );
  }
  let few = 1;
  let enough = MOST_VALUES;
  while (enough - few > 1) {
    const n = Math.floor((few + enough) / 2);
    if (shows(n)) enough = n;
    else few = n;
  }
  return ok(enough);
}

function checkConfidence(confidence: number): void {
  if (!(confidence > 0.5 && confidence < 1)) {
    throw new RangeError(`a one-sided bound needs a confidence between 0.5 and 1, got ${confidence}`);
  }
}
