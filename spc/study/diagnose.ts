import { countThere } from "../drawn/lines.ts";
import { type Column, columnOf } from "../model/column.ts";
import type { Grouped, Span } from "../model/grouped.ts";
import { andersonDarling } from "../normality/anderson-darling.ts";
import { baselineOf } from "../sigma/location.ts";
import { subgroupAverages } from "../sigma/subgroup-moments.ts";
import { autocorrelationBand } from "../stats/autocorrelation.ts";
import { columnAutocorrelations } from "../stats/column-autocorrelation.ts";
import { distinctValues } from "../stats/distinct.ts";
import { finiteOnes } from "../stats/finite.ts";
import { ljungBox } from "../stats/ljung-box.ts";
import { seriesMoments } from "../stats/series-moments.ts";
import type { StudyData } from "./request.ts";
import type { StudyDiagnostics } from "./result.ts";

/** What the values of a baseline say by themselves, before any chart is drawn. */
export interface Seen extends Omit<StudyDiagnostics, "overallToWithin"> {
  /** Single values, or counts; 0 for vectors. */
  readonly n: number;
  /** Plotted points that have a value. */
  readonly points: number;
  readonly mean: number | null;
  readonly sigmaOverall: number | null;
  readonly skewness: number | null;
  /** Lag 1 lies outside its band. */
  readonly autocorrelated: boolean;
}

/** Looks at the baseline: spread, shape, dependence of neighbouring points, resolution. */
export function diagnose(data: StudyData, baseline: Span): Seen {
  if (data.kind === "vectors") return nothing(data.vectors.starts, baseline);
  if (data.kind === "counts") {
    const { counts, sizes } = data.counted;
    const shares = Float64Array.from({ length: baseline.to - baseline.from }, (_, i) => {
      const count = counts.at(baseline.from + i);
      const size = sizes.at(baseline.from + i);
      return count === null || size === null || size === 0 ? Number.NaN : count / size;
    });
    const there = finiteOnes(shares);
    // Counts have a variance of their own, so that neither overall sigma nor a normal is asked about.
    return {
      ...dependence(columnOf(shares)),
      ...shape(there),
      sigmaOverall: null,
      andersonDarling: null,
    };
  }
  const own = baselineOf(data.values, { ...noDesign, baseline });
  const averages = held(subgroupAverages(own), own.anew);
  return { ...dependence(columnOf(averages)), ...shape(own.values), andersonDarling: normality(own.values) };
}

const noDesign = { k: 3, limits: "sigma", basis: "chart", centre: null, sigma: null } as const;

function dependence(points: Column): Pick<Seen, "lag1" | "lag1Band" | "ljungBox" | "autocorrelated" | "points"> {
  const found = columnAutocorrelations(points, 1);
  const box = ljungBox(points);
  const there = found.ok ? found.value.n : countThere(points, { from: 0, to: points.length });
  const lag1 = found.ok ? found.value.r[0]! : null;
  const lag1Band = lag1 === null ? null : autocorrelationBand(there);
  const autocorrelated = lag1 !== null && lag1Band !== null && (lag1 < lag1Band[0] || lag1 > lag1Band[1]);
  return { lag1, lag1Band, ljungBox: box.ok ? box.value : null, autocorrelated, points: there };
}

function shape(values: Float64Array): Pick<Seen, "n" | "mean" | "sigmaOverall" | "skewness" | "distinctValues"> {
  const n = values.length;
  const distinct = distinctValues(values);
  if (n < 2) return { n, mean: values[0] ?? null, sigmaOverall: null, skewness: null, distinctValues: distinct };
  const { mean, sd, skewness } = seriesMoments(values);
  return { n, mean, sigmaOverall: sd, skewness, distinctValues: distinct };
}

function normality(values: Float64Array): Seen["andersonDarling"] {
  const tested = andersonDarling(values);
  return tested.ok ? { a2: tested.value.a2, adjusted: tested.value.adjusted, p: tested.value.p } : null;
}

/** Averages with a place without a number wherever memory ends, so that no pair reaches across. */
function held(averages: Float64Array, anew: Grouped["anew"]): Float64Array {
  if (anew.length === 0) return averages;
  const out = new Float64Array(averages.length + anew.length).fill(Number.NaN);
  let gaps = 0;
  averages.forEach((average, place) => {
    if (anew[gaps] === place) gaps += 1;
    out[place + gaps] = average;
  });
  return out;
}

function nothing(starts: Uint32Array, { from, to }: Span): Seen {
  let points = 0;
  for (let place = from; place < to; place += 1) {
    if (starts[place + 1]! > starts[place]!) points += 1;
  }
  return {
    n: 0,
    points,
    mean: null,
    sigmaOverall: null,
    skewness: null,
    lag1: null,
    lag1Band: null,
    ljungBox: null,
    andersonDarling: null,
    autocorrelated: false,
    distinctValues: 0,
  };
}
