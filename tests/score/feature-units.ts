import type { CharacteristicPlan } from "../../collector/platform/settings/site.ts";
import { featureCatalogue } from "../../spc/features/catalogue.ts";

/** The unit of each feature that is reckoned; what people write down has no model. */
export function featureUnits(plans: readonly CharacteristicPlan[]): ReadonlyMap<string, string> {
  const reckoned = plans.filter(({ byHand }) => byHand === null);
  return new Map(
    reckoned.map(({ feature, settings }) => [
      feature,
      (featureCatalogue[feature] as (typeof featureCatalogue)[string])(settings).unit,
    ]),
  );
}
