import type { Caution } from "../model/drawn-chart.ts";
import { LEAST_DISTINCT, MOST_OVERALL_TO_WITHIN, SETTLED_VALUES } from "../stats/thresholds.ts";
import type { CapabilityRequest } from "./capability-request.ts";

/** Fewer values than this are refused; common practice, no source. */
export const LEAST_FOR_CAPABILITY = 25;

/**
 * Cautions of a capability: what the reader must know beside numbers that are given all the same.
 *
 * @shape   a request that has been checked
 * @unit    none
 * @method  not-stable, few-distinct-values, few-values (25 to 99), interval-assumes-independence, overall-to-within
 *          (overall sigma more than 1.2 times the one within)
 * @source  ISO 22514-4:2016 (summary) for stability; the counts and the 1.2 are common practice, no source
 * @checked tests/unit/spc/capability/capability-of.test.ts
 */
export function capabilityCautions(request: CapabilityRequest): readonly Caution[] {
  const { n, sigmaWithin, sigmaOverall, autocorrelated, distinct } = request;
  const unstable = whyNotStable(request);
  const cautions: Caution[] = [];
  if (unstable !== null) {
    const text = `${unstable}: Pp, Ppk and Cpm say how these values lay in the specification and promise nothing of later ones`;
    cautions.push({ code: "not-stable", text });
  }
  if (n < LEAST_FOR_CAPABILITY) return cautions;
  if (n < SETTLED_VALUES)
    cautions.push({ code: "few-values", text: `${n} values: provisional below ${SETTLED_VALUES}` });
  if (distinct < LEAST_DISTINCT) {
    const text = `the values take only ${distinct} levels: their spread may be the instrument's`;
    cautions.push({ code: "few-distinct-values", text });
  }
  if (autocorrelated) {
    const text =
      "neighbouring values depend on each other: the intervals assume that they do not and are too narrow, and where " +
      "neighbours are alike sigma within is too small and with it Cp and Cpk too high";
    cautions.push({ code: "interval-assumes-independence", text });
  }
  if (sigmaWithin !== null && sigmaWithin > 0 && sigmaOverall > MOST_OVERALL_TO_WITHIN * sigmaWithin) {
    const text = `overall spread is more than ${MOST_OVERALL_TO_WITHIN} times that within: something moves the process`;
    cautions.push({ code: "overall-to-within", text });
  }
  return cautions;
}

/**
 * Why a process is not stable, in plain words; null when it is.
 *
 * @shape   what the request says of stability
 * @unit    none
 * @source  definition
 * @checked tests/unit/spc/capability/capability-of.test.ts
 */
export function whyNotStable({ stable }: Pick<CapabilityRequest, "stable">): string | null {
  if (stable === true) return null;
  return stable === false || stable === "" ? "the charts do not show a stable process" : stable;
}
