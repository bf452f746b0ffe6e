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
}

const mostLags = 40;

/** Of one series in run order, about its own mean. */
export function lawSums(values: readonly number[], step: number): LawSums {
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
  return { n, m2, m3, m4, products, pairs: products.map((_, k) => n - k - 1), step };
}

export function pooledSums(all: readonly LawSums[]): LawSums {
  const lags = Math.max(0, ...all.map(({ products }) => products.length));
  const add = (of: (one: LawSums) => number): number => all.reduce((sum, one) => sum + of(one), 0);
  const at = (of: (one: LawSums) => readonly number[]): number[] =>
    Array.from({ length: lags }, (_, k) => add((one) => of(one)[k] ?? 0));
  return {
    ...{ n: add(({ n }) => n), m2: add(({ m2 }) => m2), m3: add(({ m3 }) => m3), m4: add(({ m4 }) => m4) },
    ...{ products: at(({ products }) => products), pairs: at(({ pairs }) => pairs), step: all[0]?.step ?? 0 },
  };
}

export function lawOf({ n, m2, m3, m4, products, pairs, step }: LawSums): ProcessLaw {
  // What never varies leans on nothing.
  if (m2 === 0) return { n, sd: 0, skewness: 0, excess: 0, acf: [], step: 0 };
  const variance = m2 / n;
  const sd = Math.sqrt(variance);
  return {
    ...{ n, sd, skewness: m3 / n / sd ** 3, excess: m4 / n / variance ** 2 - 3 },
    // A lag whose estimate is within its error of nothing would add noise alone.
    acf: products.map((sum, k) => {
      const rho = sum / pairs[k]! / variance;
      return Math.abs(rho) < 2 / Math.sqrt(pairs[k]!) ? 0 : rho;
    }),
    step: step / sd,
  };
}
