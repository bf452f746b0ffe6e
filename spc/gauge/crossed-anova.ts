import type { Outcome } from "../model/outcome.ts";
import { ok, refuse } from "../model/outcome.ts";
import { mean } from "../stats/moments.ts";
import type { Balanced, Sizes } from "./balanced.ts";
import { balancedSizes } from "./balanced.ts";
import type { Ratio, VarianceLine } from "./variance.ts";
import { varianceLine, varianceRatio } from "./variance.ts";

/** Analysis of variance of a study in which every appraiser measures every part. */
export interface CrossedAnova {
  readonly sizes: Sizes;
  readonly part: VarianceLine;
  readonly appraiser: VarianceLine;
  readonly interaction: VarianceLine;
  readonly equipment: VarianceLine;
  readonly totalSs: number;
  /** Interaction against equipment. */
  readonly interactionRatio: Ratio | null;
  /** Against the interaction, as both are random. */
  readonly partRatio: Ratio | null;
  readonly appraiserRatio: Ratio | null;
}

/**
 * Crossed analysis of variance: what share of the differences between readings comes from parts, from appraisers (or
 * sensors, or places of mounting), from both together, and from the instrument itself.
 *
 * @shape   readings by part, then appraiser, then trial: two or more of each, balanced
 * @unit    sums of squares that of the readings squared
 * @method  two-way random model with interaction; every sum from deviations, none as a difference of large sums
 * @refuses too-few, unbalanced, zero-variation; not-a-number where squares leave the range of numbers
 * @throws  RangeError for a reading that is no number: a defect in the caller
 * @cost    O(n)
 * @source  AIAG Measurement Systems Analysis, 4th ed. 2010, ch. III-B (from memory)
 * @checked tests/reference/spc/gauge/crossed.test.ts
 */
export function crossedAnova(study: Balanced): Outcome<CrossedAnova> {
  const checked = balancedSizes(study);
  if (!checked.ok) return checked;
  const sizes = checked.value;
  const { outer: parts, inner: appraisers, repeats } = sizes;
  const cells = study.map((part) => part.map(mean));
  const partMeans = cells.map(mean);
  const appraiserMeans = Array.from({ length: appraisers }, (_, o) => mean(cells.map((row) => row[o]!)));
  const centre = mean(partMeans);

  let interactionSs = 0;
  let equipmentSs = 0;
  study.forEach((part, i) => {
    part.forEach((trials, o) => {
      const cell = cells[i]![o]!;
      interactionSs += repeats * (cell - partMeans[i]! - appraiserMeans[o]! + centre) ** 2;
      for (const reading of trials) equipmentSs += (reading - cell) ** 2;
    });
  });
  const partSs = appraisers * repeats * squaresAbout(partMeans, centre);
  const appraiserSs = parts * repeats * squaresAbout(appraiserMeans, centre);
  const totalSs = partSs + appraiserSs + interactionSs + equipmentSs;
  if (!Number.isFinite(totalSs)) return refuse("not-a-number", "the readings are too large to be squared");

  const part = varianceLine(partSs, parts - 1);
  const appraiser = varianceLine(appraiserSs, appraisers - 1);
  const interaction = varianceLine(interactionSs, (parts - 1) * (appraisers - 1));
  const equipment = varianceLine(equipmentSs, parts * appraisers * (repeats - 1));
  return ok({
    sizes,
    part,
    appraiser,
    interaction,
    equipment,
    totalSs,
    interactionRatio: varianceRatio(interaction, equipment),
    partRatio: varianceRatio(part, interaction),
    appraiserRatio: varianceRatio(appraiser, interaction),
  });
}

function squaresAbout(values: readonly number[], centre: number): number {
  return values.reduce((sum, value) => sum + (value - centre) ** 2, 0);
}
