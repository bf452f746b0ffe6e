import { chiSquareQuantile } from "../library/chi-square.ts";
import { fQuantile } from "../library/fisher-f.ts";
import { whitening } from "../library/matrix.ts";
import type { Vectors } from "../model/vectors.ts";
import { squaredDistance, standardiser } from "./vector-distance.ts";
import type { VectorEstimate } from "./vector-estimate.ts";

/** What one component does to T2. */
export interface ComponentPart {
  readonly component: number;
  /** T2 of the component by itself: large where it is unusual on its own. */
  readonly unconditional: number;
  /** T2 less T2 without it: large where it is unusual given all the others. */
  readonly conditional: number;
  /** Whether each lies beyond what chance gives it, by its own limit. */
  readonly stands: { readonly unconditional: boolean; readonly conditional: boolean };
}

/** T2 of one place, taken apart. */
export interface Decomposition {
  readonly t2: number;
  readonly parts: readonly ComponentPart[];
  readonly limits: { readonly unconditional: number; readonly conditional: number };
}

/**
 * Decomposition of T2: which components made a place signal, each by itself and given all others.
 *
 * @shape   vectors, the place, the estimate they are judged by, the chance alpha of each part; null for an empty place
 * @unit    dimensionless
 * @method  unconditional n z_j^2, conditional d_j = T2 - T2 without j. Limits of a place outside the baseline, with v degrees
 *          of freedom: (1 + n / N) F(1, v) and (1 + n / N) v / (v - p + 1) F(1, v - p + 1); for places of the baseline they
 *          are a guide. Chi-square with 1 for known parameters
 * @throws  RangeError for an alpha that is no chance: a defect in the caller
 * @cost    O(p^4)
 * @source  Mason, Tracy and Young 1995, Journal of Quality Technology 27:99-108 (from memory); subgroups derived here
 * @checked tests/property/spc/multivariate/t2.test.ts
 */
export function decompose(
  data: Vectors,
  place: number,
  estimate: VectorEstimate,
  alpha: number = 0.05,
): Decomposition | null {
  if (!(alpha > 0 && alpha < 1)) throw new RangeError(`a chance lies between 0 and 1, got ${alpha}`);
  const found = standardiser(data, estimate)(place);
  if (found === null) return null;
  const z = [...found];
  const n = data.starts[place + 1]! - data.starts[place]!;
  const t2 = squaredDistance(z, estimate.whitening, n);
  const limits = partLimits(estimate, n, alpha);
  const parts = z.map((own, component): ComponentPart => {
    const unconditional = Math.min(Number.MAX_VALUE, n * own * own);
    const conditional = Math.max(0, t2 - without(z, component, estimate, n));
    const stands = {
      unconditional: unconditional > limits.unconditional,
      conditional: conditional > limits.conditional,
    };
    return { component, unconditional, conditional, stands };
  });
  return { t2, parts, limits };
}

function without(z: readonly number[], component: number, { correlation }: VectorEstimate, n: number): number {
  const others = <T>(list: readonly T[]): readonly T[] => list.filter((_, j) => j !== component);
  const rest = others(correlation).map(others);
  // A part of a correlation matrix that could be inverted can be inverted too.
  return rest.length === 0 ? 0 : squaredDistance(others(z), whitening(rest)!, n);
}

function partLimits({ df, vectors, mean }: VectorEstimate, n: number, alpha: number): Decomposition["limits"] {
  if (df === null) {
    const limit = chiSquareQuantile(1 - alpha, 1);
    return { unconditional: limit, conditional: limit };
  }
  const share = 1 + n / vectors;
  const rest = df - mean.length + 1;
  return {
    unconditional: share * fQuantile(1 - alpha, 1, df),
    conditional: ((share * df) / rest) * fQuantile(1 - alpha, 1, rest),
  };
}
