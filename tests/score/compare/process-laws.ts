import type { ProcessLaw } from "./chance.ts";

/** Sums from which a law follows, so that the laws of several plants are pooled exactly. */
export interface LawSums {
  readonly n: number;
  readonly m2: number;
  readonly m3: number;
  readonly m4: number;
  /** By lag from 1: sum of products, and how many there are. */
  readonly products: readonly number[];
  readonly pairs: readonly number[];
  readonly step: number;
  /** Of values and their times in days, each about its own mean; scores kept from before lack it. */
  readonly trend?: Trend;
}

interface Trend {
  readonly tx: number;
  readonly tt: number;
}

const mostLags = 40;

/** Of one series in run order, about its own mean; `days` are the times of its values. */
export function lawSums(values: readonly number[], step: number, days: readonly number[]): LawSums {
  const n = values.length;
  const mean = values.reduce((sum, value) => sum + value, 0) / n;
  let [m2, m3, m4] = [0, 0, 0];
  for (const value of values) {
    const off = value - mean;
    m2 += off ** 2;
    m3 += off ** 3;
    m4 += off ** 4;
  }
  const lags = Math.min(mostLags, Math.floor(n / 4));
  const products = Array.from({ length: lags }, (_, k) => {
    let sum = 0;
    for (let i = k + 1; i < n; i += 1) sum += (values[i]! - mean) * (values[i - k - 1]! - mean);
    return sum;
  });
  const trend = trendOf(values, mean, days);
  return { n, m2, m3, m4, products, pairs: products.map((_, k) => n - k - 1), step, trend };
}

function trendOf(values: readonly number[], mean: number, days: readonly number[]): Trend {
  const middle = days.reduce((sum, day) => sum + day, 0) / days.length;
  let [tx, tt] = [0, 0];
  values.forEach((value, i) => {
    const t = days[i]! - middle;
    tx += t * (value - mean);
    tt += t * t;
  });
  return { tx, tt };
}

export function pooledSums(all: readonly LawSums[]): LawSums {
  const lags = Math.max(0, ...all.map(({ products }) => products.length));
  const add = (of: (one: LawSums) => number): number => all.reduce((sum, one) => sum + of(one), 0);
  const at = (of: (one: LawSums) => readonly number[]): number[] =>
    Array.from({ length: lags }, (_, k) => add((one) => of(one)[k] ?? 0));
  return {
    ...{ n: add(({ n }) => n), m2: add(({ m2 }) => m2), m3: add(({ m3 }) => m3), m4: add(({ m4 }) => m4) },
    ...{ products: at(({ products }) => products), pairs: at(({ pairs }) => pairs), step: all[0]?.step ?? 0 },
    trend: { tx: add(({ trend }) => trend?.tx ?? 0), tt: add(({ trend }) => trend?.tt ?? 0) },
  };
}

export function lawOf({ n, m2, m3, m4, products, pairs, step, trend }: LawSums): ProcessLaw {
  // What never varies leans on nothing.
  if (m2 === 0) return { n, sd: 0, skewness: 0, excess: 0, acf: [], step: 0, drift: 0 };
  const variance = m2 / n;
  const sd = Math.sqrt(variance);
  // A lag whose estimate is within its error of nothing would add noise alone.
  const acf = products.map((sum, k) => {
    const rho = sum / pairs[k]! / variance;
    return Math.abs(rho) < 2 / Math.sqrt(pairs[k]!) ? 0 : rho;
  });
  return {
    ...{ n, sd, skewness: m3 / n / sd ** 3, excess: m4 / n / variance ** 2 - 3 },
    ...{ acf, step: step / sd, drift: driftOf(trend, n, sd, acf[0] ?? 0) },
  };
}

/** Days from the middle of the longest baseline to the middle of a score. */
const farDays = 37;

/**
 * What a steady trend comes to in between, in sigma; 0 where it is within four of its standard errors of nothing. No trend
 * is carried on for more than twice as long as it was seen.
 */
function driftOf(trend: Trend | undefined, n: number, sd: number, lag1: number): number {
  if (trend === undefined || trend.tt === 0) return 0;
  const slope = trend.tx / trend.tt / sd;
  const error = Math.sqrt((1 + lag1) / (1 - lag1) / trend.tt);
  const seenDays = Math.sqrt((12 * trend.tt) / n);
  return Math.abs(slope) < 4 * error ? 0 : slope * Math.min(farDays, 2 * seenDays);
}
