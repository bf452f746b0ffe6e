import { type Outcome, ok, refuse } from "../model/outcome.ts";
import type { FeatureExtractor, RunTrace } from "../model/run.ts";
import { endpointResolution } from "../physics/probe-pair.ts";
import { median } from "../stats/quantile.ts";
import { type DryerMoment, dryerMoments, probeRoles } from "./dryer-moments.ts";
import { pairDefaults, pairOf } from "./dryer-pair.ts";
import { featureNumbers, guarded } from "./extractor.ts";
import { lastOf, type Window, wholeRun } from "./window.ts";

/** Half of what the difference is averaged over, so that noise does not break the stretch. Our own choice. */
const smoothMs = 15 * 60_000;
/** The longest hole in which the difference is taken to have stayed on its side. */
const widestMs = 20 * 60_000;

const defaults = { ...pairDefaults, limit: 0.2, minutes: 30, rhLimit: 20 };

/**
 * `dry.t_end`: when the air had stopped taking water out of the load, if the instruments deserve the question.
 *
 * @shape   roles `return-rh`, `return-t`, `supply-rh`, `supply-t`; settings `limit` in g/kg (0.2), `minutes` it must stay
 *          below (30), `rhLimit` in % (20), and the pair of probes as in `pairDefaults`
 * @unit    h since the load went in
 * @method  difference of mixing ratios, running mean over 30 min; the end of the first stretch of so many minutes in which
 *          its size stayed below the limit, return humidity below its own
 * @refuses `not-resolvable` where the pair errs by more than the limit in the air at the load's end; `endpoint-not-reached`
 *          by the release, the load's hours as `has`: the endpoint is censored there; `hole-at-crossing` when the stretch
 *          began in a hole of more than 20 min; those of `wholeRun`, `lastOf`, `dryerMoments`, `differenceError`
 * @throws  RangeError for another setting, or one not above 0
 * @cost    O(n)
 * @source  common practice, no source; resolution: JCGM 100:2008, 5.1 (from memory)
 * @checked tests/unit/spc/features/dry-more.test.ts
 */
export function dryTEnd(settings: Readonly<Record<string, number>>): FeatureExtractor {
  const numbers = featureNumbers("dry.t_end", settings, defaults);
  return guarded({
    id: "dry.t_end",
    version: 2,
    unit: "h",
    roles: probeRoles,
    plusMinus: 1.25,
    extract(trace) {
      const load = wholeRun(trace.run);
      if (!load.ok) return load;
      const moments = dryerMoments(trace, load.value);
      if (!moments.ok) return moments;
      const resolved = resolution(trace, load.value, moments.value, numbers);
      return resolved.ok ? endOf(moments.value, load.value, numbers) : resolved;
    },
  });
}

function resolution(
  trace: RunTrace,
  load: Window,
  moments: readonly DryerMoment[],
  numbers: typeof defaults,
): Outcome<number> {
  const end = lastOf(load, numbers.minutes * 60_000);
  if (!end.ok) return end;
  const last = moments.filter(({ tMs }) => tMs >= end.value.fromMs);
  if (last.length === 0) return refuse("coverage-too-low", "the air at the end of the load was not measured");
  const air = {
    tCel: median(last.map(({ returnT }) => returnT)),
    rhPercent: median(last.map(({ returnRh }) => returnRh)),
    pressureHpa: trace.ambientPressureHpa,
  };
  return endpointResolution(pairOf(trace, numbers), air, numbers.limit);
}

function endOf(moments: readonly DryerMoment[], load: Window, numbers: typeof defaults): Outcome<number> {
  let below: { readonly sinceMs: number; readonly known: boolean } | null = null;
  let [from, to, sum] = [0, 0, 0];
  const gain = (i: number): number => moments[i]!.returnGkg - moments[i]!.supplyGkg;
  for (const [i, { tMs, returnRh }] of moments.entries()) {
    while (to < moments.length && moments[to]!.tMs <= tMs + smoothMs) {
      sum += gain(to);
      to += 1;
    }
    while (moments[from]!.tMs < tMs - smoothMs) {
      sum -= gain(from);
      from += 1;
    }
    const hole = i > 0 && tMs - moments[i - 1]!.tMs > widestMs;
    const isBelow = Math.abs(sum / (to - from)) < numbers.limit && returnRh < numbers.rhLimit;
    if (!isBelow) below = null;
    else if (below === null || hole) below = { sinceMs: tMs, known: !hole };
    if (below === null || tMs - below.sinceMs < numbers.minutes * 60_000) continue;
    if (!below.known) return refuse("hole-at-crossing", "the air came to its limit while readings were missing");
    return ok((tMs - load.fromMs) / 3_600_000);
  }
  const hours = (load.toMs - load.fromMs) / 3_600_000;
  return refuse(
    "endpoint-not-reached",
    `the air still took out water when the load was released after ${hours.toFixed(2)} h`,
    {
      has: hours,
    },
  );
}
