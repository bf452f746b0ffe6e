import type { Span } from "../model/grouped.ts";
import type { Vectors } from "../model/vectors.ts";

/** Sums of squares and products of vectors, each component over its own scale so that none leaves the range of numbers. */
export interface VectorScatter {
  readonly estimator: string;
  /** Whether any subgroup has two vectors or more. */
  readonly grouped: boolean;
  readonly mean: readonly number[];
  readonly scales: readonly number[];
  /** In units of the scales. */
  readonly scatter: readonly (readonly number[])[];
  readonly df: number;
  readonly subgroups: number;
  readonly vectors: number;
}

/**
 * Scatter of vectors: how they and their components vary together over a baseline.
 *
 * @shape   complete vectors in subgroups, the baseline, what single vectors are compared with
 * @unit    mean and scales those of the components
 * @method  grouped: deviations from each subgroup's mean, sum (n_i - 1) degrees of freedom. Single: deviations from the
 *          mean, m - 1; or differences of neighbours, none over a gap, with 2 (m - 1)^2 / (3 m - 4) degrees of freedom
 *          and sums that stand for as many. Scales are the largest deviations
 * @cost    O(n p^2)
 * @source  degrees of freedom of successive differences: Scholz and Tosch 1994, by way of Sullivan and Woodall 1996,
 *          Journal of Quality Technology 28:398-408 (from memory)
 * @checked tests/unit/spc/multivariate/vector-estimate.test.ts
 */
export function vectorScatter(data: Vectors, baseline: Span, spread: "ordinary" | "successive"): VectorScatter {
  const { starts, dimension: p } = data;
  let subgroups = 0;
  let grouped = false;
  for (let i = baseline.from; i < baseline.to; i += 1) {
    const n = starts[i + 1]! - starts[i]!;
    if (n > 0) subgroups += 1;
    if (n > 1) grouped = true;
  }
  const from = starts[baseline.from]!;
  const to = starts[baseline.to]!;
  const mean = meanVector(data, from, to);
  const each = grouped
    ? withinSubgroups(data, baseline)
    : spread === "successive"
      ? betweenNeighbours(data, baseline)
      : aroundMean(data, from, to, mean);
  const scales = new Array<number>(p).fill(0);
  each((deviation) => {
    for (let j = 0; j < p; j += 1) scales[j] = Math.max(scales[j]!, Math.abs(deviation[j]!));
  });
  const sums = Array.from({ length: p }, () => new Array<number>(p).fill(0));
  let terms = 0;
  each((deviation) => {
    terms += 1;
    for (let i = 0; i < p; i += 1) {
      for (let j = 0; j <= i; j += 1) {
        if (scales[i]! > 0 && scales[j]! > 0)
          sums[i]![j]! += (deviation[i]! / scales[i]!) * (deviation[j]! / scales[j]!);
      }
    }
  });
  const vectors = to - from;
  const successive = !grouped && spread === "successive";
  const df = grouped ? vectors - subgroups : successive ? successiveDf(terms + 1) : vectors - 1;
  // Each difference of neighbours varies twice as much as a vector.
  const share = successive ? df / (2 * terms) : 1;
  const scatter = sums.map((row, i) => row.map((_, j) => share * (i >= j ? sums[i]![j]! : sums[j]![i]!)));
  const estimator = grouped ? "pooled-s" : successive ? "successive-differences" : "overall";
  return { estimator, grouped, mean, scales, scatter, df, subgroups, vectors };
}

type Visit = (visitor: (deviation: Float64Array) => void) => void;

function successiveDf(m: number): number {
  return m < 2 ? 0 : (2 * (m - 1) ** 2) / (3 * m - 4);
}

/** Mean by two passes: the second takes back the rounding of the first. */
function meanVector({ rows, dimension: p }: Vectors, from: number, to: number): number[] {
  const mean = new Array<number>(p).fill(0);
  for (const pass of [0, 1]) {
    const rest = new Array<number>(p).fill(0);
    for (let r = from; r < to; r += 1)
      for (let j = 0; j < p; j += 1) rest[j]! += (rows[r * p + j]! - (pass === 0 ? 0 : mean[j]!)) / (to - from);
    for (let j = 0; j < p; j += 1) mean[j]! += rest[j]!;
  }
  return mean;
}

function aroundMean({ rows, dimension: p }: Vectors, from: number, to: number, mean: readonly number[]): Visit {
  const deviation = new Float64Array(p);
  return (visitor) => {
    for (let r = from; r < to; r += 1) {
      for (let j = 0; j < p; j += 1) deviation[j] = rows[r * p + j]! - mean[j]!;
      visitor(deviation);
    }
  };
}

function withinSubgroups(data: Vectors, baseline: Span): Visit {
  return (visitor) => {
    for (let i = baseline.from; i < baseline.to; i += 1) {
      const [from, to] = [data.starts[i]!, data.starts[i + 1]!];
      if (to - from > 1) aroundMean(data, from, to, meanVector(data, from, to))(visitor);
    }
  };
}

function betweenNeighbours({ rows, starts, anew, dimension: p }: Vectors, baseline: Span): Visit {
  const difference = new Float64Array(p);
  const breaks = new Set(anew);
  return (visitor) => {
    for (let i = baseline.from + 1; i < baseline.to; i += 1) {
      const r = starts[i]!;
      // Both places hold a vector, and no gap lies between them.
      if (starts[i + 1]! === r || starts[i - 1]! === r || breaks.has(i)) continue;
      for (let j = 0; j < p; j += 1) difference[j] = rows[r * p + j]! - rows[(r - 1) * p + j]!;
      visitor(difference);
    }
  };
}
