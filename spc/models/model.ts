/** A distribution with its parameters: what non-normal limits and indices are read from. */
export interface DistributionModel {
  readonly form:
    | "normal"
    | "lognormal"
    | "weibull"
    | "gamma"
    | "folded-normal"
    | "rayleigh"
    | "johnson-su"
    | "johnson-sb"
    | "johnson-sl";
  readonly parameters: Readonly<Record<string, number>>;
  /** Value that a share p stays below, 0 < p < 1. */
  quantile(p: number): number;
  /** Share at or below x. */
  cdf(x: number): number;
}

/** Shares below and above which a natural limit leaves as many as three sigma of a normal do. */
export const LOWER_TAIL = 0.00135;
export const UPPER_TAIL = 0.99865;
