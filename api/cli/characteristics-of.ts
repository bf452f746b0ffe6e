import type { Site } from "../../collector/platform/settings/site.ts";
import type { Characteristic } from "../../spc/model/characteristic.ts";

/** Every characteristic that the settings name, with one for each named part where charts are by part. */
export function characteristicsOf(site: Site): readonly Characteristic[] {
  return site.stations.flatMap(({ plans }) =>
    plans.flatMap((plan) =>
      plan.by.length > 0 ? plan.parts.map((part) => plan.characteristic(part)) : [plan.characteristic(null)],
    ),
  );
}
