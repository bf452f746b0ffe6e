/** Forms of chart that a study can draw, as the command names them. */
export const valueForms = [
  "individuals",
  "xbar-r",
  "xbar-s",
  "median-r",
  "three-way",
  "moving-average",
  "ewma",
  "cusum",
  "g",
  "t",
  "z-w",
  "nominal",
  "q",
  "residual",
  "batch-mean",
] as const;

export const countForms = ["p", "np", "c", "u", "p-prime", "u-prime"] as const;

export const vectorForms = ["t2", "mewma"] as const;

export type ValueForm = (typeof valueForms)[number];
export type CountForm = (typeof countForms)[number];
export type VectorForm = (typeof vectorForms)[number];
export type StudyForm = ValueForm | CountForm | VectorForm;

export const studyForms: readonly StudyForm[] = [...valueForms, ...countForms, ...vectorForms];
