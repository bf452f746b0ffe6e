import type { EwmaWords } from "../model/characteristic.ts";
import type { LimitSet } from "../model/limit-set.ts";
import { ewmaStage } from "./ewma.ts";
import type { EwmaScheme, EwmaState } from "./ewma-state.ts";
import { ewmaNext, ewmaStart } from "./ewma-state.ts";
import { independent } from "./ewma-width.ts";
import type { LivePoint, LiveStage, SubgroupPlace } from "./live-chart.ts";
import { momentsOf } from "./subgroup-live.ts";

/** Without limits: what is weighed, and from where. */
interface Unjudged {
  readonly centre: number | null;
  readonly ewma: EwmaState;
}

/**
 * Live EWMA chart of single runs or of subgroups' averages.
 *
 * @shape   a limit set with an EWMA's scheme, or null; lambda where there is no set; subgroups, none holds a place
 * @unit    that of the characteristic
 * @method  as `drawEwma`: `ewmaStage` over the averages. Without limits the EWMA starts at the first average
 * @throws  RangeError for a set without an EWMA's scheme: a defect in the caller
 * @cost    O(n) a subgroup; remembers five numbers
 * @source  as `ewmaStage`
 * @checked tests/property/spc/monitor/live-equals-drawn.test.ts
 */
export function ewmaLive(set: Pick<LimitSet, "location" | "scheme"> | null, words: EwmaWords): LiveStage {
  return set === null ? unjudged(words) : judged(ewmaSchemeOf(set));
}

/**
 * Scheme of an EWMA as a limit set froze it.
 *
 * @shape   a limit set with an EWMA's scheme
 * @unit    that of the characteristic
 * @throws  RangeError for a set without one: a defect in the caller
 * @source  derived here
 * @checked tests/property/spc/monitor/live-equals-drawn.test.ts
 */
export function ewmaSchemeOf({ location, scheme }: Pick<LimitSet, "location" | "scheme">): EwmaScheme {
  if (scheme?.ewma === undefined) throw new RangeError("limits of an EWMA need its lambda and width");
  const { lambda, width, alike, share, phi } = scheme.ewma;
  const start = { asymptotic: false, headStart: null, dependence: { share, phi } };
  return { centre: location.centre, sigma: scheme.sigma, alike, lambda, width, ...start };
}

function judged(scheme: EwmaScheme): LiveStage {
  const stage = ewmaStage(scheme);
  return {
    initial: stage.initial,
    step(before, { subgroup, atMs, values }: SubgroupPlace) {
      const { mean: value } = momentsOf(values);
      const { state, out } = stage.step(before as EwmaState, { subgroup, atMs, value, size: values.length });
      return {
        state,
        out: out.map((point): LivePoint => {
          const half = point.upper === null ? null : point.upper - scheme.centre;
          return { point, sigma: half === null ? null : half / scheme.width };
        }),
      };
    },
  };
}

function unjudged({ lambda, width }: EwmaWords): LiveStage {
  const initial: Unjudged = { centre: null, ewma: ewmaStart };
  return {
    initial,
    step(state, { subgroup, values }: SubgroupPlace) {
      const before = state as Unjudged;
      const { mean } = momentsOf(values);
      const lines = { centre: null, lower: null, upper: null, verdict: "not-evaluable" } as const;
      const centre = before.centre ?? mean;
      if (mean === null || centre === null) {
        return { state: before, out: [{ point: { subgroup, value: null, ...lines }, sigma: null }] };
      }
      const start = { alike: true, asymptotic: false, headStart: null, dependence: independent };
      const ewma = ewmaNext({ centre, sigma: 1, lambda, width, ...start }, before.ewma, mean, values.length);
      const moved = ewma.t > before.ewma.t;
      const value = moved ? centre + ewma.off : null;
      return { state: { centre, ewma }, out: [{ point: { subgroup, value, ...lines }, sigma: null }] };
    },
  };
}
