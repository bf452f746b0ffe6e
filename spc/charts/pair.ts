import type { ChartPairName } from "../model/characteristic.ts";
import type { Chart, Limits } from "../model/chart.ts";
import { INDIVIDUALS_K, individuals } from "./individuals.ts";
import { movingRange } from "./moving-range.ts";

/** Two charts over one baseline: where the process lies, and how it spreads. */
export interface ChartPair {
  readonly name: ChartPairName;
  readonly location: Chart<Limits>;
  readonly spread: Chart<Limits>;
  /** Name of the sigma estimator behind the location limits. */
  readonly estimator: string;
  /** Half-width of the limits in sigma of the plotted statistic. */
  readonly k: number;
}

/** A further pair is a further row. */
export const chartPairs: Readonly<Record<ChartPairName, ChartPair>> = {
  individuals: {
    name: "individuals",
    location: individuals,
    spread: movingRange,
    estimator: "moving-range",
    k: INDIVIDUALS_K,
  },
};
