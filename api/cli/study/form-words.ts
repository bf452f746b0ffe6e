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

/** A kind of chart as a title: `cusum-upper` is Cusum upper. */
export function kindWords(kind: string): string {
  const words = kind.replaceAll("-", " ");
  return words.charAt(0).toUpperCase() + words.slice(1);
}

const estimators: Readonly<Record<string, string>> = {
  "moving-range": "the mean moving range",
  "mean-range": "the mean range within subgroups",
  "mean-s": "the mean standard deviation within subgroups",
  "pooled-s": "the pooled standard deviation within subgroups",
  overall: "the standard deviation of all values (n - 1)",
  given: "the sigma that was given",
};

export function estimatorWords(estimator: string): string {
  return estimators[estimator] ?? estimator.replaceAll("-", " ");
}
