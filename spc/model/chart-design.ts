import type { Span } from "./grouped.ts";

/** What every chart over a whole series is told. Each kind takes beside it what it alone needs. */
export interface ChartDesign {
  /** Places whose values the limits rest on. */
  readonly baseline: Span;
  /** Half-width of the limits in sigma of the plotted statistic; 3 unless said otherwise. */
  readonly k: number;
  /** `sigma`: k sigma to either side. `exact`: limits of the statistic's own distribution with the same chance. */
  readonly limits: "sigma" | "exact";
  /** `chart`: the chart's own estimator of sigma; `overall`: s with n - 1 over all values of the baseline. */
  readonly basis: "chart" | "overall";
  /** Given in place of estimates: a target, or frozen parameters of Phase I. */
  readonly centre: number | null;
  readonly sigma: number | null;
}

/** The usual design over a span: three sigma, by the chart's own estimator, nothing given. */
export function usualDesign(baseline: Span): ChartDesign {
  return { baseline, k: 3, limits: "sigma", basis: "chart", centre: null, sigma: null };
}
