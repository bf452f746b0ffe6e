import { normalCdf } from "../../../spc/library/normal.ts";

/** One chart on fault-free days. */
export interface ChanceRow {
  /** Plant and chart: points of one chart share its limits, so they are no independent evidence. */
  readonly seed: number;
  readonly characteristic: string;
  /** Whose process it is of: kind of station, feature and part. */
  readonly law: string;
  readonly rule: "beyond-limit" | "ewma";
  readonly points: number;
  /** Points that its limits were set from. */
  readonly baseline: number;
  readonly observed: number;
  /** Beyond a limit, the point before being none: what opens a flag. */
  readonly begun: number;
  /** Limits of a full point, and how many runs it is of. */
  readonly lower: number;
  readonly upper: number;
  readonly runs: number;
  /** True mean of the process. */
  readonly mean: number;
  readonly lambda: number;
  /**
   * Share of points that the same limits leave outside on the chart's own fault-free days after the score, counted: what
   * stands for the true process where it is no normal one.
   */
  readonly counted: number;
  /** Points to a chance signal by what the product told its user; null where it told nothing. */
  readonly toldOnceIn: number | null;
}

/** What single values of a process truly are, from long fault-free series of the run model, each about its own mean. */
export interface ProcessLaw {
  readonly n: number;
  readonly sd: number;
  readonly skewness: number;
  readonly excess: number;
  /** From lag 1 on. */
  readonly acf: readonly number[];
  /** Steps that readings come in, as a share of sd; 0 where none is known. */
  readonly step: number;
  /** How far its mean moves from a baseline to a score, in sd: weather comes in. 0 where it stays. */
  readonly drift: number;
}

export type ChanceClass = "near-normal" | "skewed" | "quantised" | "autocorrelated" | "drifting";

const mostSkewed = 0.15;
const mostExcess = 0.2;
const mostStep = 0.5;
const mostLag1 = 0.45;
const mostDrift = 0.5;

export function classOf({ n, acf, skewness, excess, step, drift }: ProcessLaw): ChanceClass {
  if (step > mostStep) return "quantised";
  // Lags up to 0.45 were measured with an error of their own. Moments of what leans so much are those of few values.
  if ((acf[0] ?? 0) > mostLag1 + 0.02) return "autocorrelated";
  if (Math.abs(drift) > mostDrift) return "drifting";
  const [skewed, heavy] = [mostSkewed + 2 * Math.sqrt(6 / n), mostExcess + 2 * Math.sqrt(24 / n)];
  return Math.abs(skewness) > skewed || Math.abs(excess) > heavy ? "skewed" : "near-normal";
}

/** Points beyond the frozen limits that the true process gives by chance. */
export function expectedOf(row: ChanceRow, law: ProcessLaw): number {
  if (classOf(law) !== "near-normal") return row.points * row.counted;
  const weighted = weightedVariance(row.lambda, row.runs > 1 ? [] : law.acf);
  const sd = law.sd * Math.sqrt(weighted * meanVariance(row.runs, law.acf));
  return row.points * (normalCdf((row.lower - row.mean) / sd) + normalCdf((row.mean - row.upper) / sd));
}

/** Variance of a weighted mean over that of its values; exact for any autocorrelation. */
export function weightedVariance(lambda: number, acf: readonly number[]): number {
  let sum = 1;
  acf.forEach((rho, k) => {
    sum += 2 * (1 - lambda) ** (k + 1) * rho;
  });
  return lambda === 1 ? 1 : (lambda / (2 - lambda)) * sum;
}

/** Variance of a mean of so many neighbours over that of one. */
export function meanVariance(runs: number, acf: readonly number[]): number {
  let sum = 1;
  for (let k = 1; k < runs; k += 1) sum += 2 * (1 - k / runs) * (acf[k - 1] ?? 0);
  return sum / runs;
}

export interface ChanceRatio {
  readonly charts: number;
  readonly points: number;
  readonly observed: number;
  readonly expected: number;
  readonly ratio: number | null;
  /** 95 %, by the scatter from chart to chart. */
  readonly interval: readonly [number, number] | null;
  /** By what was told, and what began, on the charts that tell a rate at all. */
  readonly told: number;
  readonly begun: number;
  /** Charts whose limits tell none. */
  readonly untold: number;
  readonly toldRatio: number | null;
}

/** Observed over expected, with an interval that takes all points of a chart as one piece of evidence. */
export function chanceRatio(rows: readonly ChanceRow[], lawOf: (row: ChanceRow) => ProcessLaw): ChanceRatio {
  const pairs = rows.map((row) => ({ row, expected: expectedOf(row, lawOf(row)) }));
  const sum = (of: (pair: (typeof pairs)[number]) => number): number => pairs.reduce((all, one) => all + of(one), 0);
  const observed = sum(({ row }) => row.observed);
  const expected = sum((pair) => pair.expected);
  const told = sum(({ row }) => (row.toldOnceIn === null ? 0 : row.points / row.toldOnceIn));
  const begun = sum(({ row }) => (row.toldOnceIn === null ? 0 : row.begun));
  const ratio = expected > 0 ? observed / expected : null;
  const spread =
    ratio === null ? 0 : Math.sqrt(sum((pair) => (pair.row.observed - ratio * pair.expected) ** 2)) / expected;
  return {
    ...{ charts: rows.length, points: sum(({ row }) => row.points), observed, expected, ratio },
    interval: ratio === null ? null : [ratio - 1.96 * spread, ratio + 1.96 * spread],
    untold: rows.filter(({ toldOnceIn }) => toldOnceIn === null).length,
    ...{ told, begun, toldRatio: told > 0 ? begun / told : null },
  };
}
