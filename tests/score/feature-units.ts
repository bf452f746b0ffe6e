import type { CharacteristicPlan } from "../../collector/platform/settings/site.ts";
import { featureCatalogue } from "../../spc/features/catalogue.ts";

/** The unit of each feature: as it is reckoned, or as people write it down. */
export function featureUnits(plans: readonly CharacteristicPlan[]): ReadonlyMap<string, string> {
  return new Map(
    plans.map(({ feature, settings, byHand }) => [
      feature,
      byHand?.unit ?? (featureCatalogue[feature] as (typeof featureCatalogue)[string])(settings).unit,
    ]),
  );
}
