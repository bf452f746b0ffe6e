import type { Outcome } from "../model/outcome.ts";
import { ok, refuse } from "../model/outcome.ts";
import { mean } from "../stats/moments.ts";
import type { Balanced, Sizes } from "./balanced.ts";
import { balancedSizes } from "./balanced.ts";
import type { Ratio, VarianceComponent, VarianceLine } from "./variance.ts";
import { varianceComponent, varianceLine, varianceRatio } from "./variance.ts";

/** Sums of squares of a nested study. */
export interface NestedSums {
  readonly outer: number;
  readonly inner: number;
  readonly repeats: number;
}

/** Analysis of variance of places within runs, and readings within places. */
export interface NestedAnova {
  readonly outer: VarianceLine;
  readonly inner: VarianceLine;
  readonly repeats: VarianceLine;
  readonly outerRatio: Ratio | null;
  readonly innerRatio: Ratio | null;
  readonly components: {
    readonly outer: VarianceComponent;
    readonly inner: VarianceComponent;
    readonly repeats: VarianceComponent;
  };
}

/**
 * Sums of squares of a nested study, where an inner group belongs to one outer group: a zone to its furnace run.
 *
 * @shape   readings by outer group, then inner group, then reading: two or more of each, balanced
 * @unit    that of the readings squared
 * @method  squares of deviations: of outer means from the mean, of inner means from their outer's, of readings from their inner's
 * @refuses too-few, unbalanced, zero-variation; not-a-number where squares leave the range of numbers
 * @throws  RangeError for a reading that is no number: a defect in the caller
 * @cost    O(n)
 * @source  NIST/SEMATECH e-Handbook 3.5.1.4
 * @checked tests/reference/spc/gauge/nested.test.ts
 */
export function nestedSums(study: Balanced): Outcome<{ readonly sums: NestedSums; readonly sizes: Sizes }> {
  const checked = balancedSizes(study);
  if (!checked.ok) return checked;
  const sizes = checked.value;
  const inner = study.map((group) => group.map(mean));
  const outer = inner.map(mean);
  const centre = mean(outer);
  const sums = { outer: 0, inner: 0, repeats: 0 };
  study.forEach((group, i) => {
    sums.outer += sizes.inner * sizes.repeats * (outer[i]! - centre) ** 2;
    group.forEach((readings, j) => {
      sums.inner += sizes.repeats * (inner[i]![j]! - outer[i]!) ** 2;
      for (const reading of readings) sums.repeats += (reading - inner[i]![j]!) ** 2;
    });
  });
  const finite = Number.isFinite(sums.outer + sums.inner + sums.repeats);
  return finite ? ok({ sums, sizes }) : refuse("not-a-number", "the readings are too large to be squared");
}

/**
 * Nested analysis of variance: whether runs, places in a run, or single readings differ most.
 *
 * @shape   sums of squares of zero or more, the sizes of the balanced study
 * @unit    that of the readings squared
 * @method  a outer groups, b inner in each, n readings in each: df a - 1, a (b - 1), a b (n - 1); every level tested
 *          against the next; components (MS_A - MS_B) / (b n), (MS_B - MS_E) / n, MS_E
 * @source  NIST/SEMATECH e-Handbook 3.5.1.4
 * @checked tests/reference/spc/gauge/nested.test.ts
 */
export function nestedAnova(sums: NestedSums, { outer: a, inner: b, repeats: n }: Sizes): NestedAnova {
  const outer = varianceLine(sums.outer, a - 1);
  const inner = varianceLine(sums.inner, a * (b - 1));
  const repeats = varianceLine(sums.repeats, a * b * (n - 1));
  return {
    outer,
    inner,
    repeats,
    outerRatio: varianceRatio(outer, inner),
    innerRatio: varianceRatio(inner, repeats),
    components: {
      outer: varianceComponent((outer.ms - inner.ms) / (b * n)),
      inner: varianceComponent((inner.ms - repeats.ms) / n),
      repeats: varianceComponent(repeats.ms),
    },
  };
}
