import type { Limits } from "./chart.ts";

/** What the limits rest on, so that an engineer can defend or refuse them. */
export interface Baseline {
  readonly fromMs: number;
  readonly toMs: number;
  /** Subgroups used. */
  readonly n: number;
  /** Run id to the recorded cause for leaving it out. */
  readonly excluded: Readonly<Record<string, string>>;
  /** How many of the runs used were imported, without a trace behind the dot. */
  readonly imported: number;
}

export interface LimitDiagnostics {
  /** From the location chart's own estimator. */
  readonly sigmaWithin: number;
  /** s with n - 1, over the same values. */
  readonly sigmaOverall: number;
  readonly lag1: number;
  /** Band that chance alone keeps lag1 in, 95 %. */
  readonly lag1Band: readonly [number, number];
  readonly distinctValues: number;
  /** Codes, each explained in words where it is shown: `few-values`, `autocorrelated`, ... */
  readonly cautions: readonly string[];
}

/** A set of limits as put in force: never edited, only superseded by the next revision. */
export interface LimitSet {
  /** `${characteristic}@${revision}` */
  readonly id: string;
  readonly characteristic: string;
  readonly revision: number;
  /** `chart`: the chart's own estimator; `overall`: overall sigma. */
  readonly basis: "chart" | "overall";
  /** Kinds of the pair, location first: `["individuals", "moving-range"]`. */
  readonly charts: readonly [string, string];
  readonly location: Limits;
  readonly spread: Limits;
  /** Name of the sigma estimator: `moving-range`. */
  readonly estimator: string;
  /** Half-width in sigma of the plotted statistic. */
  readonly k: number;
  readonly unit: string;
  readonly rules: readonly string[];
  readonly baseline: Baseline;
  readonly diagnostics: LimitDiagnostics;
  /** Source time from which the set may rule; it never reaches back over points already judged. */
  readonly effectiveFromMs: number;
  readonly frozenAtMs: number;
  readonly proposedBy: string;
  readonly agreedBy: string;
  readonly reason: string;
  /** Version of the product that computed it. */
  readonly engine: string;
}
