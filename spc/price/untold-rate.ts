import type { LimitDiagnostics } from "../model/limit-set.ts";
import type { Refusal } from "../model/outcome.ts";
import { MOST_PRICED_LAG1 } from "../stats/thresholds.ts";

/** What a price rests on and these data are not, by the caution that says so. */
const reasons: Readonly<Record<string, string>> = {
  skewed: "one tail is long",
  "tails-unlike-normal": "the tails are not those of a normal",
  "few-distinct-values": "the values stand on few steps",
  "step-in-baseline": "the level stepped within the baseline",
  "between-subgroups": "averages vary more than the spread within explains",
  "signals-in-baseline": "more of the baseline lies beyond the limits than the rate would give",
};

/**
 * Untold rate: why no chance rate is told of a limit set. A price is that of a stable process of normal values; where the
 * baseline itself speaks against that, a number would be wrong by a factor of two to ten.
 *
 * @shape   diagnostics of a limit set
 * @unit    dimensionless; null where a rate may be told
 * @method  any of six cautions of the baseline, or lag 1 above 0.45, up to which rates given the limits were measured right
 * @source  derived here; that rates hold up to lag 0.45 is our own study (AR(1), 50 to 300 points)
 * @checked tests/unit/spc/price-rules/untold-rate.test.ts
 */
export function untoldRate({ cautions, lag1 }: Pick<LimitDiagnostics, "cautions" | "lag1">): Refusal | null {
  const found = [
    ...cautions.flatMap((code) => (Object.hasOwn(reasons, code) ? [reasons[code]!] : [])),
    ...(lag1 > MOST_PRICED_LAG1 ? ["neighbours lean on each other too much"] : []),
  ];
  if (found.length === 0) return null;
  return { code: "rate-unknown", detail: `rates are those of stable normal values, and here ${found.join(", and ")}` };
}
