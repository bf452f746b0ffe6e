import { normalQuantile } from "../library/normal.ts";
import type { Outcome } from "../model/outcome.ts";
import { ok, refuse } from "../model/outcome.ts";
import type { Rule } from "../rules/rule.ts";
import { rulesRunLength } from "../rules/run-length.ts";
import type { EstimatedFrom } from "./estimated-limits.ts";
import { widthLawOf } from "./estimated-limits.ts";
import type { WidthLaw } from "./estimated-width.ts";

/** What a set of rules may turn out to cost on lines from a baseline of this size. */
export interface EstimatedRunLengths {
  /** One baseline in ten gives a shorter run length in control than this. */
  readonly tenth: number;
  readonly median: number;
  /** One baseline in ten gives a longer one. */
  readonly ninetieth: number;
}

/** Equally probable places of the centre on one side, and widths: the error is that of one place in so many. */
const CENTRES = 8;
const WIDTHS = 25;

/**
 * Estimated rules: the range of run lengths to expect where centre and sigma come from few values.
 *
 * @shape   rules as rows, at least one, none of them about steps; what the lines rest on, as for `estimatedLimits`
 * @unit    points
 * @method  two hundred equally probable pairs of errors of centre and sigma, the chain's run length for each
 *          (`rulesRunLength`), ranked
 * @refuses too-few; compares-neighbours, for rules about steps: their run length would be simulated at every pair
 * @throws  RangeError for no rules, and as `estimatedLimits`
 * @cost    two hundred run lengths
 * @source  derived here
 * @checked tests/unit/spc/price-rules/estimated-rules.test.ts
 */
export function estimatedRules(rules: readonly Rule[], from: EstimatedFrom): Outcome<EstimatedRunLengths> {
  if (rules.some((rule) => rule.kind === "trend" || rule.kind === "alternating")) {
    return refuse("compares-neighbours", "rules that compare neighbours have no chain to be reckoned at every width");
  }
  const law = widthLawOf(from);
  if (!law.ok) return law;
  const widths = Array.from({ length: WIDTHS }, (_, i) => widthAt(law.value, (i + 0.5) / WIDTHS));
  // A centre too high costs what one too low does.
  const shifts = Array.from({ length: CENTRES }, (_, i) => {
    return normalQuantile(0.5 + (i + 0.5) / (2 * CENTRES)) / Math.sqrt(from.points);
  });
  const { limit = 3 } = from;
  const lengths = widths
    .flatMap((scale) => shifts.map((shift) => rulesRunLength(rules, { shift, scale, limit }).mean))
    .sort((a, b) => a - b);
  const ranked = (share: number): number => lengths[Math.floor(share * lengths.length)]!;
  return ok({ tenth: ranked(0.1), median: ranked(0.5), ninetieth: ranked(0.9) });
}

/** The width that a share of baselines do not exceed. */
function widthAt(law: WidthLaw, share: number): number {
  let low = 0;
  let high = 10;
  for (let i = 0; i < 50; i += 1) {
    const middle = (low + high) / 2;
    if (law.below(middle) < share) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
}
