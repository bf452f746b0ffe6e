import { capabilityOf } from "../capability/capability-of.ts";
import type { Caution } from "../model/drawn-chart.ts";
import type { Seen } from "./diagnose.ts";
import type { StudyForm } from "./forms.ts";
import { type Judged, whyNotStable } from "./judged.ts";
import type { StudyRequest } from "./request.ts";
import type { StudyCapability } from "./result.ts";

/** Waits are skewed by nature: six sigma of them say nothing of a specification. */
const ofWaits: readonly StudyForm[] = ["g", "t"];

export interface StudiedCapability {
  readonly indices: StudyCapability;
  readonly cautions: readonly Caution[];
}

/**
 * Capability of the baseline, where a specification was given; null where none was.
 *
 * @source  ISO 22514-4:2016 (summary)
 */
export function capabilityFor(
  request: StudyRequest,
  form: StudyForm,
  seen: Seen,
  judged: Judged,
): StudiedCapability | null {
  const { lower, upper, target, confidence, data } = request;
  if (lower === null && upper === null) return null;
  if (data.kind !== "values") return refusedAll("not-measured", "capability is asked of single measured values");
  if (ofWaits.includes(form))
    return refusedAll("not-normal", "waits are skewed by nature, so sigma says nothing of them");
  if (form === "z-w") return refusedAll("unequal-parts", "each part has a sigma of its own: study one part at a time");
  if (seen.mean === null || seen.sigmaOverall === null) return refusedAll("too-few", "two values or more are needed");
  // A sigma from a single step between neighbours is no sigma to state an index by.
  const usable = judged.dfWithin === null || judged.dfWithin >= 1;
  const { cautions, ...indices } = capabilityOf({
    n: seen.n,
    mean: seen.mean,
    sigmaWithin: usable ? judged.sigmaWithin : null,
    dfWithin: usable ? judged.dfWithin : null,
    sigmaOverall: seen.sigmaOverall,
    lower: lower ?? undefined,
    upper: upper ?? undefined,
    target: target ?? undefined,
    confidence,
    stable: whyNotStable(judged) ?? true,
    autocorrelated: seen.autocorrelated,
    distinct: seen.distinctValues,
  });
  return { indices, cautions: data.nominal === null ? cautions : [ofDeviations, ...cautions] };
}

const ofDeviations: Caution = {
  code: "of-deviations",
  text: "several parts share the series, so the specification and its target were taken as deviations from nominal",
};

function refusedAll(refused: string, why: string): StudiedCapability {
  const none = { refused, why };
  return { indices: { cp: none, cpk: none, pp: none, ppk: none, cpm: none }, cautions: [] };
}
