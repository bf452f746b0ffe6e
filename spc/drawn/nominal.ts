import type { ChartDesign } from "../model/chart-design.ts";
import type { DrawnChart, DrawnCharts } from "../model/drawn-chart.ts";
import type { Grouped } from "../model/grouped.ts";
import { subgroupCount } from "../model/grouped.ts";
import { subgroupSizes } from "../sigma/subgroup-moments.ts";
import { drawAveragesWithS } from "./averages-s.ts";
import { drawIndividuals } from "./individuals.ts";
import { partsCaution } from "./nominal-parts.ts";

/**
 * Deviation from nominal: parts of different nominal values on one chart, in the order in which they were made.
 *
 * @shape   grouped values in time order, not sorted by part; the nominal value of each subgroup's part; the design, whose
 *          centre is that of deviations
 * @unit    that of the characteristic
 * @method  y = x - nominal; individuals with moving ranges, or averages with standard deviations. All parts must vary
 *          alike: `partsCaution` says where they do not, and `drawZW` is for that
 * @refuses too-few, zero-variation, not-finite, chance-too-small: then the charts stand without lines
 * @throws  RangeError for a nominal that is no number where there is a value, as many nominals as subgroups lacking, or
 *          a design that cannot be meant: a defect in the caller
 * @cost    O(n), a copy of the values
 * @source  Bothe 1988; Farnum 1992, Journal of Quality Technology 24:138-144 (both from memory)
 * @checked tests/reference/spc/short-run/deviation.test.ts
 */
export function drawNominal(data: Grouped, nominal: ArrayLike<number | null>, design: ChartDesign): DrawnCharts {
  const deviations = deviationsFrom(data, nominal);
  const several = subgroupSizes(data.starts).largest > 1;
  const drawn = several ? drawAveragesWithS(deviations, design) : drawIndividuals(deviations, design);
  const [location, ...spread] = drawn.charts as [DrawnChart, ...DrawnChart[]];
  return {
    ...drawn,
    charts: [{ ...location, kind: "deviation" }, ...spread],
    cautions: [...drawn.cautions, ...partsCaution(deviations, nominal, design)],
  };
}

/**
 * Deviations from nominal: how far each value lies from the nominal value of its part.
 *
 * @shape   grouped values; the nominal value of each subgroup
 * @unit    that of the characteristic
 * @method  y = x - nominal
 * @throws  RangeError for a nominal that is no number where there is a value, or as many nominals as subgroups lacking:
 *          a defect in the caller
 * @cost    O(n), a copy of the values
 * @source  definition
 * @checked tests/reference/spc/short-run/deviation.test.ts
 */
export function deviationsFrom({ values, starts, anew }: Grouped, nominal: ArrayLike<number | null>): Grouped {
  const count = subgroupCount({ values, starts, anew });
  if (nominal.length !== count) throw new RangeError(`${count} subgroups need a nominal each, got ${nominal.length}`);
  const deviations = new Float64Array(values.length);
  for (let i = 0; i < count; i += 1) {
    const target = nominal[i];
    if (starts[i] === starts[i + 1]) continue;
    if (target == null || !Number.isFinite(target))
      throw new RangeError(`a nominal is a number where there is a value, got ${target} at place ${i}`);
    for (let j = starts[i]!; j < starts[i + 1]!; j += 1) {
      deviations[j] = values[j]! - target;
      if (!Number.isFinite(deviations[j]!))
        throw new RangeError(`a value less its nominal leaves the range of numbers at place ${i}`);
    }
  }
  return { values: deviations, starts, anew };
}
