import type { ChartedAs } from "../model/characteristic.ts";
import { runsOfPoint, usualEwma } from "../model/characteristic.ts";
import type { Spacing } from "../model/chart.ts";
import type { LimitSet } from "../model/limit-set.ts";
import { ewmaLive } from "./ewma-live.ts";
import { individuals } from "./individuals.ts";
import type { LiveStage } from "./live-chart.ts";
import { movingRange } from "./moving-range.ts";
import { singleLive } from "./single-live.ts";
import { averageLive, standardDeviationLive } from "./subgroup-live.ts";

/** Two live charts over the same subgroups: where the process lies, and how it spreads. */
export interface ChartPair {
  /** Kinds of the plotted statistics, location first. */
  readonly kinds: readonly [string, string];
  /** Values that a subgroup needs before it can be judged. */
  readonly least: number;
  location(set: LimitSet | null, spacing: Spacing): LiveStage;
  spread(set: LimitSet | null, spacing: Spacing): LiveStage;
  /** Whether the location begins anew once a cause was corrected, as a weighted mean of all points has to. */
  readonly anewAfterDone: boolean;
}

/**
 * Chart pair of a characteristic: the two live charts that its settings ask for.
 *
 * @shape   chart, runs of a subgroup and the EWMA's words
 * @unit    that of the characteristic
 * @method  individuals with moving ranges; averages with standard deviations; EWMA with moving ranges of single runs, or
 *          with the standard deviations of its subgroups
 * @source  ISO 7870-2, ISO 7870-6 (both from memory)
 * @checked tests/unit/spc/charts/live-charts.test.ts
 */
export function chartPairOf(as: ChartedAs): ChartPair {
  const runs = runsOfPoint(as);
  const least = runs > 1 ? 2 : 1;
  const singles = {
    spread: (set: LimitSet | null, spacing: Spacing) => singleLive(movingRange, set?.spread ?? null, spacing),
  };
  const within = { spread: (set: LimitSet | null) => standardDeviationLive(set) };
  switch (as.chart) {
    case "individuals":
      return {
        kinds: ["individuals", "moving-range"],
        least,
        location: (set, spacing) => singleLive(individuals, set?.location ?? null, spacing),
        ...singles,
        anewAfterDone: false,
      };
    case "averages-with-s":
      return {
        kinds: ["average", "standard-deviation"],
        least,
        location: (set) => averageLive(set),
        ...within,
        anewAfterDone: false,
      };
    case "ewma":
      return {
        kinds: ["ewma", runs > 1 ? "standard-deviation" : "moving-range"],
        least,
        location: (set) => ewmaLive(set, as.ewma ?? usualEwma),
        ...(runs > 1 ? within : singles),
        anewAfterDone: true,
      };
  }
}
