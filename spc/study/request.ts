import type { Column } from "../model/column.ts";
import type { Counted } from "../model/counted.ts";
import type { Grouped, Span } from "../model/grouped.ts";
import type { Vectors } from "../model/vectors.ts";
import type { RuleId } from "../rules/rule-ids.ts";
import type { CountForm, ValueForm, VectorForm } from "./forms.ts";

/** What was read, by its kind, and the form asked for: null lets the study choose and say why. */
export type StudyData =
  | {
      readonly kind: "values";
      readonly form: ValueForm | null;
      readonly values: Grouped;
      /** By plotted place, for `nominal` and `z-w`: which part it is. */
      readonly parts: readonly string[] | null;
      /** By plotted place: the nominal value of its part. */
      readonly nominal: Column | null;
    }
  | {
      readonly kind: "counts";
      readonly form: CountForm | null;
      readonly counted: Counted;
      /** Whether sizes were given, or stand at one each because only counts were. */
      readonly sized: boolean;
    }
  | { readonly kind: "vectors"; readonly form: VectorForm | null; readonly vectors: Vectors };

/** What beside the data decides a study. Whatever is null takes the usual value of the form. */
export interface StudyOptions {
  /** In plotted places; null for all. */
  readonly baseline: Span | null;
  readonly rules: readonly RuleId[];
  readonly limits: "sigma" | "exact";
  readonly basis: "chart" | "overall";
  readonly centre: number | null;
  readonly sigma: number | null;
  readonly lambda: number | null;
  /** Half-width of the limits in sigma: 3, for EWMA 2.86. */
  readonly width: number | null;
  /** Reference value and decision interval of a CUSUM, in sigma of the plotted statistic. */
  readonly k: number | null;
  readonly h: number | null;
  /** Points of a moving average, or of a batch. */
  readonly span: number | null;
  readonly lower: number | null;
  readonly upper: number | null;
  readonly target: number | null;
  /** Of all intervals, between 0 and 1. */
  readonly confidence: number;
}

export interface StudyRequest extends StudyOptions {
  /** Rows that were read. */
  readonly rows: number;
  readonly data: StudyData;
}

export const usualRules: readonly RuleId[] = ["beyond-limit", "nine-on-one-side"];

export const usualOptions: StudyOptions = {
  baseline: null,
  rules: usualRules,
  limits: "sigma",
  basis: "chart",
  centre: null,
  sigma: null,
  lambda: null,
  width: null,
  k: null,
  h: null,
  span: null,
  lower: null,
  upper: null,
  target: null,
  confidence: 0.95,
};
