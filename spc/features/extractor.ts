import { type Outcome, refuse } from "../model/outcome.ts";
import type { FeatureExtractor, RunTrace } from "../model/run.ts";

/**
 * Guards an extractor's border: a number that is not finite leaves it as a refusal.
 *
 * @unit    that of the extractor
 * @refuses `not-finite` when readings so large came in that arithmetic with them overflows
 * @source  derived here
 * @checked tests/property/spc/features/features.test.ts
 */
export function guarded(extractor: FeatureExtractor): FeatureExtractor {
  return {
    ...extractor,
    extract(trace: RunTrace): Outcome<number> {
      const outcome = extractor.extract(trace);
      if (!outcome.ok || Number.isFinite(outcome.value)) return outcome;
      return refuse("not-finite", `${extractor.id} overflows with the readings of this run`);
    },
  };
}

/**
 * The numbers of a feature: those of the settings over the defaults.
 *
 * @shape  given: what the settings say; defaults: every number the feature knows
 * @unit   that of each number, as the feature states
 * @throws RangeError for a number the feature does not know, or one that is not above 0: settings are checked by it
 * @source derived here
 */
export function featureNumbers<K extends string>(
  feature: string,
  given: Readonly<Record<string, number>>,
  defaults: Readonly<Record<K, number>>,
): Readonly<Record<K, number>> {
  const known = Object.keys(defaults);
  for (const [name, value] of Object.entries(given)) {
    if (!known.includes(name)) {
      const knows = known.length === 0 ? "it has none" : `it knows ${known.join(", ")}`;
      throw new RangeError(`${feature} has no setting ${name}: ${knows}`);
    }
    if (!(value > 0 && value < Infinity)) {
      throw new RangeError(`${feature} needs a number above 0 for ${name}, got ${value}`);
    }
  }
  return { ...defaults, ...given };
}

/**
 * A feature that knows no numbers: made of whatever the settings say, which must be nothing.
 *
 * @unit   that of the extractor
 * @throws RangeError for any setting
 * @source derived here
 */
export function withoutNumbers(
  extractor: FeatureExtractor,
): (settings: Readonly<Record<string, number>>) => FeatureExtractor {
  const made = guarded(extractor);
  return (settings) => {
    featureNumbers(extractor.id, settings, {});
    return made;
  };
}
