import type { StudyForm } from "../../../spc/study/forms.ts";

/** What each form of chart is called, in the words of its trade. */
const forms: Readonly<Record<StudyForm, string>> = {
  individuals: "individuals and moving range",
  "xbar-r": "averages and ranges",
  "xbar-s": "averages and standard deviations",
  "median-r": "medians and ranges",
  "three-way": "averages, moving range of the averages, and spread within (between and within)",
  "moving-average": "moving average",
  ewma: "exponentially weighted moving average (EWMA)",
  cusum: "cumulative sums (CUSUM)",
  p: "share of defective pieces (p)",
  np: "number of defective pieces (np)",
  c: "number of defects (c)",
  u: "defects for each unit (u)",
  "p-prime": "share of defective pieces, spread between samples allowed for (p')",
  "u-prime": "defects for each unit, spread between samples allowed for (u')",
  g: "units between events (g)",
  t: "time between events (t)",
  "z-w": "standardised values of several parts (Z and W)",
  nominal: "deviations from nominal",
  q: "self-starting Q",
  t2: "Hotelling T2 of several characteristics",
  mewma: "multivariate exponentially weighted moving average (MEWMA)",
  residual: "residuals of a first-order model",
  "batch-mean": "means of batches",
};

export function formWords(form: string): string {
  return (forms as Readonly<Record<string, string>>)[form] ?? kindWords(form);
}

const kinds: Readonly<Record<string, string>> = {
  ewma: "EWMA",
  "cusum-upper": "CUSUM, upward",
  "cusum-lower": "CUSUM, downward",
  p: "Share of defective pieces (p)",
  np: "Number of defective pieces (np)",
  c: "Number of defects (c)",
  u: "Defects for each unit (u)",
  g: "Units between events (g)",
  t: "Time between events (t)",
  deviation: "Deviation from nominal",
  z: "Standardised value (Z)",
  w: "Moving range of Z (W)",
  t2: "T2",
  mewma: "MEWMA",
  residual: "Residual",
  "batch-mean": "Mean of a batch",
};

/** A kind of chart as a title: `standard-deviation` is Standard deviation. */
export function kindWords(kind: string): string {
  const words = kinds[kind] ?? kind.replaceAll("-", " ");
  return words.charAt(0).toUpperCase() + words.slice(1);
}

const estimators: Readonly<Record<string, string>> = {
  "moving-range": "the mean moving range",
  "mean-range": "the mean range within subgroups",
  "mean-s": "the mean standard deviation within subgroups",
  "pooled-s": "the pooled standard deviation within subgroups",
  overall: "the spread of all values (n - 1)",
  given: "the sigma that was given",
  binomial: "the binomial distribution at the mean share",
  poisson: "the Poisson distribution at the mean rate",
  geometric: "the geometric distribution at the mean",
  "self-starting": "the values before each point",
};

export function estimatorWords(estimator: string): string {
  return estimators[estimator] ?? estimator.replaceAll("-", " ");
}
