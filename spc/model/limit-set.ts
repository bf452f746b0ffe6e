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

/** What lines that differ from point to point follow from: subgroups of their own size, or an EWMA's start. */
export interface LimitScheme {
  /** Runs of a full subgroup, 1 for single runs: `location` and `spread` are the lines of such a one. */
  readonly runs: number;
  /** Of single values, on the basis of the set: behind the lines of the location. */
  readonly sigma: number;
  /** Of single values within subgroups, or from one to the next: behind the lines of the spread. */
  readonly sigmaWithin: number;
  /** Of an EWMA only; what its limits rest on where neighbours depend on each other. */
  readonly ewma?: {
    readonly lambda: number;
    readonly width: number;
    /** Sigma is that of the plotted averages themselves, whatever their sizes. */
    readonly alike: boolean;
    readonly share: number;
    readonly phi: number;
  };
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
  /** Left out for individuals, whose lines are the same for every point. */
  readonly scheme?: LimitScheme;
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
