import type { DrawnChart } from "../model/drawn-chart.ts";

/** Screening at two sigma finds more contamination and more of what is none: to look at, never to leave out. */
const LOOK_BEYOND = 2;

/**
 * Points to look at: places that lie beyond two sigma of the centre. One in twenty-two does so by chance.
 *
 * @shape   a drawn chart
 * @unit    places, ascending
 * @method  |value - centre| > 2 sigma of the plotted statistic, by each place's own sigma
 * @cost    O(n)
 * @source  two-sigma screening in Phase I: common practice, no source
 * @checked tests/unit/spc/phase1/phase-one.test.ts
 */
export function pointsToLookAt(chart: DrawnChart): readonly number[] {
  const places: number[] = [];
  for (let place = 0; place < chart.values.length; place += 1) {
    const value = chart.values.at(place);
    const centre = chart.centres.at(place);
    const sigma = chart.sigmas.at(place);
    if (value === null || centre === null || sigma === null) continue;
    if (Math.abs(value - centre) > LOOK_BEYOND * sigma) places.push(place);
  }
  return places;
}
