import type { BaselineValues } from "../charts/baseline-values.ts";
import { baselineValues, LEAST_VALUES } from "../charts/baseline-values.ts";
import type { MovingRangeSigma } from "../charts/moving-range-sigma.ts";
import { movingRangeSigma } from "../charts/moving-range-sigma.ts";
import type { Subgroup } from "../model/chart.ts";
import type { Outcome, Refusal } from "../model/outcome.ts";
import { ok, refuse } from "../model/outcome.ts";
import type { Specification } from "../model/specification.ts";
import { autocorrelation, autocorrelationBand } from "../stats/autocorrelation.ts";
import { distinctValues } from "../stats/distinct.ts";
import { moments } from "../stats/moments.ts";
import { MOST_OVERALL_TO_WITHIN, SETTLED_VALUES } from "../stats/thresholds.ts";
import { fourIndices, tooCoarse } from "./four-indices.ts";
import type { Interval } from "./interval.ts";

/** Of the two-sided intervals. */
const confidence = 0.95;

/** The window of a study and what its charts said of it. */
export interface StudyRequest {
  /** In time order; one without values holds the place of a missing one. */
  readonly window: readonly Subgroup[];
  readonly everyMs: number;
  readonly specification: Specification | null;
  readonly stability: Stability;
}

/** Capability presupposes shown stability: what is there to show it, and what speaks against it. */
export interface Stability {
  readonly limitsInForce: boolean;
  /** Points of the window with a signal of a chart; a signal against the specification is none. */
  readonly signals: number;
  readonly flagOpen: boolean;
}

export type Index = Interval | { readonly refusal: Refusal };

export interface Capability {
  /** Values the study rests on. */
  readonly n: number;
  readonly fromMs: number | null;
  readonly toMs: number | null;
  readonly cp: Index;
  readonly cpk: Index;
  readonly pp: Index;
  readonly ppk: Index;
  readonly cautions: readonly { readonly code: string; readonly detail: string }[];
}

/**
 * Capability study: Cp and Cpk from within sigma, Pp and Ppk from overall sigma, each with its interval or the reason
 * why there is none.
 *
 * @shape   subgroups of one value in time order, the specification, what the charts said of the window
 * @unit    dimensionless
 * @method  within sigma from moving ranges with df 0.605 per range, rounded down; overall s with n - 1. Intervals at
 *          95 %: chi-square for Cp and Pp, Bissell's for Cpk and Ppk
 * @refuses no-specification, too-few (under 25), zero-variation, not-a-number: all four;
 *          one-sided-specification: Cp and Pp; Cp and Cpk, which presuppose stability and a sigma that means something:
 *          no-limits, not-stable, autocorrelated (lag 1 above its band makes within sigma too small),
 *          few-distinct-values
 * @throws  RangeError for subgroups out of time order or of several values: a defect in the caller
 * @cost    O(n log n)
 * @source  ISO 22514-4 (summary) for stability; Bissell 1990, Applied Statistics 39:331-340 (from memory); least
 *          counts: common practice, no source
 * @checked tests/reference/spc/capability/study.test.ts
 */
export function capabilityStudy(request: StudyRequest): Capability {
  const { window, everyMs, specification } = request;
  const used = window.filter((subgroup) => subgroup.values.length > 0);
  const frame = { n: used.length, fromMs: used[0]?.atMs ?? null, toMs: used.at(-1)?.atMs ?? null };
  const nothing = ({ refusal }: { readonly refusal: Refusal }): Capability => {
    const refused = { refusal };
    return { ...frame, cp: refused, cpk: refused, pp: refused, ppk: refused, cautions: [] };
  };

  if (specification?.lower === undefined && specification?.upper === undefined) {
    return nothing(refuse("no-specification", "no specification is set"));
  }
  const found = baselineValues(window, { everyMs });
  if (!found.ok) return nothing(found);
  const values = found.value;
  const { mean, sd: sigmaOverall, n } = moments(values.values);
  const within = withinSigma(values, request.stability);
  const { cp, cpk, pp, ppk } = fourIndices({ n, mean, sigmaOverall, within, specification, confidence });
  return {
    ...frame,
    ...{ cp: indexOf(cp), cpk: indexOf(cpk), pp: indexOf(pp), ppk: indexOf(ppk) },
    cautions: cautionsOf(values, sigmaOverall),
  };
}

function indexOf(found: Outcome<Interval>): Index {
  return found.ok ? found.value : { refusal: found.refusal };
}

function withinSigma(window: BaselineValues, stability: Stability): Outcome<MovingRangeSigma> {
  if (!stability.limitsInForce) {
    return refuse("no-limits", "without limits in force nothing shows that the process is stable");
  }
  if (stability.signals > 0 || stability.flagOpen) {
    const points = stability.signals === 1 ? "1 point" : `${stability.signals} points`;
    const what = stability.signals > 0 ? `${points} of the window gave a signal` : "a flag is open";
    return refuse("not-stable", `${what}: capability presupposes a stable process`, {
      needs: 0,
      has: stability.signals,
    });
  }
  // A page shows its capability to whoever passes, without anybody having asked: here an index from a sigma that is too
  // small is withheld. The command (`capability-of.ts`) states it with its caution, to the one who asked of that file.
  const lag1 = autocorrelation(window.places, 1);
  if (lag1 > autocorrelationBand(window.values.length)[1]) {
    const detail = `neighbouring runs depend on each other (lag-1 ${lag1.toFixed(2)}), so the spread within is too small`;
    return refuse("autocorrelated", detail);
  }
  const coarse = tooCoarse(distinctValues(window.values));
  if (coarse !== null) return coarse;
  return ok(movingRangeSigma(window.movingRanges));
}

function cautionsOf(window: BaselineValues, sd: number): Capability["cautions"] {
  const n = window.values.length;
  const cautions: { code: string; detail: string }[] = [];
  if (n >= LEAST_VALUES && n < SETTLED_VALUES) {
    cautions.push({ code: "few-values", detail: `${n} values: provisional below ${SETTLED_VALUES}` });
  }
  const lag1 = autocorrelation(window.places, 1);
  const [lower, upper] = autocorrelationBand(n);
  if (lag1 < lower || lag1 > upper) {
    const detail = `lag-1 ${lag1.toFixed(2)} lies outside its band: the intervals assume independent runs`;
    cautions.push({ code: "interval-assumes-independence", detail });
  }
  const within = movingRangeSigma(window.movingRanges);
  if (sd > MOST_OVERALL_TO_WITHIN * within.sigma) {
    const detail = "overall spread is more than 1.2 times that from run to run: something moves the process";
    cautions.push({ code: "overall-to-within", detail });
  }
  return cautions;
}
