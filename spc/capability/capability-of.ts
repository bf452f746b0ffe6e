import type { Caution } from "../model/drawn-chart.ts";
import type { Outcome } from "../model/outcome.ts";
import { ok, refuse } from "../model/outcome.ts";
import type { StudyCapability, StudyIndex } from "../study/result.ts";
import { capabilityCautions, LEAST_FOR_CAPABILITY, whyNotStable } from "./capability-cautions.ts";
import type { CapabilityRequest } from "./capability-request.ts";
import { checkCapabilityRequest } from "./capability-request.ts";
import { fourIndices, tooCoarse, tooLarge, writable } from "./four-indices.ts";
import type { Interval } from "./interval.ts";
import { targetIndex, targetInterval } from "./target-index.ts";

/** The five indices of a study and what stands beside them. */
export interface CapabilityFound extends StudyCapability {
  readonly cautions: readonly Caution[];
}

/**
 * Capability and performance: Cp and Cpk from within sigma, Pp, Ppk and Cpm from overall sigma, each with its
 * two-sided interval or the reason why there is none.
 *
 * @shape   summary values, the specification, and what charts and tests said of the span
 * @unit    dimensionless
 * @method  intervals by chi-square (Cp, Pp), Bissell (Cpk, Ppk) and Boyles (Cpm)
 * @refuses all five: no-specification, too-few (under 25), zero-variation; Cp, Pp and Cpm: one-sided-specification;
 *          Cpm: no-target; Cp and Cpk: not-stable, few-distinct-values (under 5), no-within-sigma, zero-variation;
 *          not-a-number where an index leaves the range of numbers
 * @throws  RangeError for a request that is none, an inverted specification among them: a defect in the caller
 * @cost    O(1)
 * @source  ISO 22514-4:2016 (summary): capability presupposes shown stability, performance does not; Bissell 1990,
 *          Applied Statistics 39:331-340, and Boyles 1991, JQT 23:17-26 (both from memory)
 * @checked tests/unit/spc/capability/capability-of.test.ts
 */
export function capabilityOf(request: CapabilityRequest): CapabilityFound {
  checkCapabilityRequest(request);
  const { n, mean, sigmaOverall, confidence } = request;
  const cautions = capabilityCautions(request);
  const none = withheld(request);
  if (none !== null) return { cp: none, cpk: none, pp: none, ppk: none, cpm: none, cautions };

  const { lower, upper, target } = request;
  const specification = {
    ...(lower === undefined ? {} : { lower }),
    ...(upper === undefined ? {} : { upper }),
    ...(target === undefined ? {} : { target }),
  };
  const { cp, cpk, pp, ppk } = fourIndices({
    ...{ n, mean, sigmaOverall, within: withinOf(request), specification, confidence },
  });
  const away = target === undefined ? 0 : (mean - target) / sigmaOverall;
  const cpm = Number.isFinite(away)
    ? writable(targetIndex(specification, mean, sigmaOverall), (estimate) =>
        targetInterval(estimate, n, away, confidence),
      )
    : tooLarge;
  return {
    ...{ cp: indexOf(cp), cpk: indexOf(cpk), pp: indexOf(pp), ppk: indexOf(ppk), cpm: indexOf(cpm) },
    cautions,
  };
}

type Withheld = Extract<StudyIndex, { readonly refused: string }>;

/** The reason that leaves no index at all. */
function withheld({ n, lower, upper, sigmaOverall, distinct }: CapabilityRequest): Withheld | null {
  if (lower === undefined && upper === undefined) {
    return refused(refuse("no-specification", "no specification is set"));
  }
  if (n < LEAST_FOR_CAPABILITY) {
    const detail = `${n} values: an index needs ${LEAST_FOR_CAPABILITY} or more`;
    return refused(refuse("too-few", detail));
  }
  // One level told from no other may still leave a spread in the last digits of arithmetic.
  if (sigmaOverall === 0 || distinct <= 1) return refused(refuse("zero-variation", "all values are equal"));
  return null;
}

/**
 * Dependence between neighbours does not withhold Cp and Cpk here: who asked of a file reads the caution beside them. The
 * pages, which show capability unasked, withhold it (`study.ts`).
 */
function withinOf(request: CapabilityRequest): Outcome<{ readonly sigma: number; readonly df: number }> {
  const { n, sigmaWithin, dfWithin, distinct } = request;
  const unstable = whyNotStable(request);
  if (unstable !== null) return refuse("not-stable", `${unstable}: capability presupposes a stable process`);
  const coarse = tooCoarse(distinct);
  if (coarse !== null) return coarse;
  if (sigmaWithin === null) return refuse("no-within-sigma", "the chart gives no sigma within subgroups");
  if (sigmaWithin === 0) return refuse("zero-variation", "the values within subgroups do not vary");
  return ok({ sigma: sigmaWithin, df: dfWithin ?? n - 1 });
}

function indexOf(found: Outcome<Interval>): StudyIndex {
  return found.ok ? found.value : refused(found);
}

function refused({ refusal }: Extract<Outcome<number>, { readonly ok: false }>): Withheld {
  return { refused: refusal.code, why: refusal.detail };
}
