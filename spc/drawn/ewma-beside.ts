import type { ChartDesign } from "../model/chart-design.ts";
import type { Caution, DrawnChart } from "../model/drawn-chart.ts";
import type { Grouped } from "../model/grouped.ts";
import type { Outcome } from "../model/outcome.ts";
import type { SigmaEstimate } from "../sigma/location.ts";
import { estimateLocation } from "../sigma/location.ts";
import { subgroupSizes } from "../sigma/subgroup-moments.ts";
import { drawAveragesWithS } from "./averages-s.ts";
import { drawIndividuals } from "./individuals.ts";

/** What a time-weighted chart takes from the pair that it stands in for. */
export interface Beside {
  /** Averages of all subgroups, NaN for none. */
  readonly means: Float64Array;
  /** Values in the largest subgroup. */
  readonly largest: number;
  readonly spread: DrawnChart;
  readonly estimate: Outcome<SigmaEstimate>;
  /** Spread within subgroups, whatever the limits rest on; null where the pair has none. */
  readonly sigmaWithin: number | null;
  readonly dfWithin: number | null;
  readonly cautions: readonly Caution[];
}

/**
 * Pair beside a time-weighted chart: the averages that it weighs, and the spread chart that must be read with it.
 *
 * @shape   grouped values in time order, the design
 * @unit    that of the characteristic
 * @method  individuals with moving ranges where no subgroup has two values, else averages with standard deviations
 * @throws  RangeError for a design that cannot be meant or a value that is no number: a defect in the caller
 * @cost    O(n); two numbers a subgroup
 * @source  ISO 7870-6 (from memory)
 * @checked tests/unit/spc/time-weighted/ewma.test.ts
 */
export function besideSpread(data: Grouped, design: ChartDesign): Beside {
  const { largest } = subgroupSizes(data.starts);
  const drawn = largest > 1 ? drawAveragesWithS(data, design) : drawIndividuals(data, design);
  const { sigmaWithin, dfWithin, cautions } = drawn;
  const [location, spread] = drawn.charts as [DrawnChart, DrawnChart];
  const { raw, length } = location.values;
  const means = typeof raw === "number" ? new Float64Array(length).fill(raw) : raw;
  return { means, largest, spread, estimate: estimateLocation(data, design), sigmaWithin, dfWithin, cautions };
}

/**
 * Places of corrections, checked.
 *
 * @shape   places before which a cause was found and corrected, ascending; how many places there are
 * @unit    places, dimensionless
 * @throws  RangeError for places that are not whole, not ascending or outside: a defect in the caller
 * @cost    O(corrections)
 * @source  derived here
 * @checked tests/unit/spc/time-weighted/ewma.test.ts
 */
export function checkCorrections(corrections: readonly number[], length: number): readonly number[] {
  corrections.forEach((place, i) => {
    if (!Number.isInteger(place) || place < 0 || place > length || (i > 0 && place <= corrections[i - 1]!))
      throw new RangeError(`corrections stand before ascending places from 0 to ${length}, got ${corrections.join()}`);
  });
  return corrections;
}
