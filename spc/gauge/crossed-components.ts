import type { CrossedAnova } from "./crossed-anova.ts";
import type { VarianceComponent } from "./variance.ts";
import { varianceComponent, varianceLine } from "./variance.ts";

/** Variances of a gauge study by their source. */
export interface GaugeComponents {
  /** Repeatability: the same part by the same appraiser. */
  readonly equipment: VarianceComponent;
  /** Reproducibility: between appraisers. */
  readonly appraiser: VarianceComponent;
  readonly interaction: VarianceComponent;
  readonly part: VarianceComponent;
  /** The interaction was no more than chance and went into the equipment. */
  readonly interactionPooled: boolean;
}

/**
 * Variance components of a crossed study.
 *
 * @shape   its analysis of variance; the p above which the interaction is taken for chance and pooled, to be declared
 *          before the study: 0.05 and 0.25 are both in use
 * @unit    that of the readings squared
 * @method  expected mean squares of the random model, r trials, p parts, o appraisers: equipment MS_E, interaction
 *          (MS_I - MS_E) / r, appraiser (MS_O - MS_I) / (p r), part (MS_P - MS_I) / (o r). Pooled, MS_I and MS_E give
 *          way to (SS_I + SS_E) / (df_I + df_E); the interaction is then used as zero and its raw value still told
 * @throws  RangeError for a p that is none: a defect in the caller
 * @source  AIAG Measurement Systems Analysis, 4th ed. 2010, ch. III-B (from memory)
 * @checked tests/reference/spc/gauge/crossed.test.ts
 */
export function crossedComponents(anova: CrossedAnova, poolAbove: number): GaugeComponents {
  if (!(poolAbove >= 0 && poolAbove <= 1)) throw new RangeError(`a p lies between 0 and 1, got ${poolAbove}`);
  const { sizes, part, appraiser, interaction, equipment, interactionRatio } = anova;
  const { outer: parts, inner: appraisers, repeats } = sizes;
  const pooled = interactionRatio !== null && interactionRatio.p > poolAbove;
  const together = varianceLine(interaction.ss + equipment.ss, interaction.df + equipment.df);
  const own = pooled ? together : equipment;
  const against = pooled ? together : interaction;
  const raw = (interaction.ms - equipment.ms) / repeats;
  return {
    equipment: varianceComponent(own.ms),
    appraiser: varianceComponent((appraiser.ms - against.ms) / (parts * repeats)),
    interaction: pooled ? { raw, used: 0 } : varianceComponent(raw),
    part: varianceComponent((part.ms - against.ms) / (appraisers * repeats)),
    interactionPooled: pooled,
  };
}
