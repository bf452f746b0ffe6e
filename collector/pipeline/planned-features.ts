import { featureCatalogue } from "../../spc/features/catalogue.ts";
import type { FeatureValue } from "../../spc/model/journal-entry.ts";
import type { FeatureExtractor, Run, RunInside, RunTrace } from "../../spc/model/run.ts";
import type { CharacteristicPlan, Station } from "../platform/settings/site.ts";
import type { TraceRoles } from "./read-trace.ts";

/** A characteristic that follows from readings, with what makes its number. */
interface PlannedFeature {
  readonly plan: CharacteristicPlan;
  readonly extractor: FeatureExtractor;
}

/** What is to be had of one kind of run, and what must be read for it. */
export interface PlannedFeatures {
  readonly plans: readonly PlannedFeature[];
  readonly reads: TraceRoles;
}

/** By kind of run; null is the station's own. */
export function plannedFeatures(station: Station): ReadonlyMap<string | null, PlannedFeatures> {
  const all = station.plans
    .filter(({ byHand }) => byHand === null)
    .map((plan): PlannedFeature => ({ plan, extractor: extractorOf(plan) }));
  const kinds = [null, ...station.moreRuns.map(({ id }) => id)];
  return new Map(kinds.map((kind) => [kind, planned(all, kind)]));
}

function planned(all: readonly PlannedFeature[], kind: string | null): PlannedFeatures {
  const plans = all.filter(({ plan }) => plan.runKind === kind);
  const lookBackMs: Record<string, number> = {};
  for (const { extractor } of plans) {
    for (const [role, backMs] of Object.entries(extractor.lookBackMs ?? {}))
      lookBackMs[role] = Math.max(backMs, lookBackMs[role] ?? 0);
  }
  const roles = [...new Set(plans.flatMap(({ extractor }) => extractor.roles))];
  const roleUnits = Object.assign({}, ...plans.map(({ extractor }) => extractor.roleUnits)) as TraceRoles["roleUnits"];
  return { plans, reads: { roles, lookBackMs, ...(roleUnits === undefined ? {} : { roleUnits }) } };
}

function extractorOf(plan: CharacteristicPlan): FeatureExtractor {
  const factory = featureCatalogue[plan.feature];
  if (factory === undefined) throw new RangeError(`no feature ${plan.feature}: the settings were not checked`);
  return factory(plan.settings);
}

export function featureOf(extractor: FeatureExtractor, trace: RunTrace): FeatureValue {
  const { id: feature, version, unit } = extractor;
  const outcome = extractor.extract(trace);
  if (outcome.ok) return { feature, version, unit, value: outcome.value };
  return { feature, version, unit, value: null, refusal: outcome.refusal };
}

/** Those of the first kind that lie inside a run. */
export function insideOf(around: Run, inside: readonly RunInside[]): readonly RunInside[] {
  return inside.filter(({ run }) => run.startMs >= around.startMs && run.endMs <= around.endMs);
}
