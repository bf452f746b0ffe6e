import type { Station } from "../../collector/platform/settings/site.ts";
import { type DryerLimits, dryerRule, usualDryerLimits } from "../../spc/features/dryer-rule.ts";
import type { FeatureValue, RunRecord } from "../../spc/model/journal-entry.ts";
import { type Outcome, ok, refuse } from "../../spc/model/outcome.ts";
import type { WireDryness } from "../contract/wire.ts";

const rests = ["dry.residual", "dry.t_end", "dry.water_ratio"] as const;

/** What may be said of a load's dryness, and on what it rests; null where the run is of no dryer. */
export function drynessSheet(station: Station | undefined, { run, features, imported }: RunRecord): WireDryness | null {
  const here = station?.plans.some(({ feature }) => rests.some((one) => one === feature)) === true;
  if (!here || imported || run.kind !== undefined || run.closedBy === "by-hand") return null;
  const of = (name: string): FeatureValue | undefined => features.find(({ feature }) => feature === name);
  const limits = limitsOf(station!);
  const { says, by, doubts } = dryerRule(
    {
      residual: outcomeOf(of("dry.residual"), "no witness was weighed"),
      endpoint: outcomeOf(of("dry.t_end"), "no endpoint is asked for here"),
      waterRatio: outcomeOf(of("dry.water_ratio"), "no water balance is asked for here"),
    },
    limits,
  );
  const evidence = [...rests, "dry.dw_end"].flatMap((name) => {
    const found = of(name);
    return found === undefined ? [] : [{ ...found }];
  });
  return { says, by, doubts: [...doubts], residualLimit: limits.residualPercent, ratio: { ...limits.ratio }, evidence };
}

/** The plant's own requirements where it states them. */
function limitsOf({ plans }: Station): DryerLimits {
  const specOf = (name: string) => plans.find(({ feature }) => feature === name)?.characteristic(null).specification;
  const residual = specOf("dry.residual")?.upper;
  const ratio = specOf("dry.water_ratio");
  const { residualPercent, ratio: usual } = usualDryerLimits;
  return {
    residualPercent: residual ?? residualPercent,
    ratio: { from: ratio?.lower ?? usual.from, to: ratio?.upper ?? usual.to },
  };
}

function outcomeOf(feature: FeatureValue | undefined, none: string): Outcome<number> {
  if (feature === undefined) return refuse("no-reading", none);
  if (feature.value !== null) return ok(feature.value);
  const { code, detail } = feature.refusal ?? { code: "no-value", detail: none };
  return refuse(code, detail);
}
