import type { Caution, DrawnChart } from "../model/drawn-chart.ts";
import type { SignalColumn } from "../rules/signal-column.ts";

/** An index with its interval, or why there is none. */
export type StudyIndex =
  | { readonly estimate: number; readonly lower: number; readonly upper: number; readonly confidence: number }
  | { readonly refused: string; readonly why: string };

export interface StudyCapability {
  readonly cp: StudyIndex;
  readonly cpk: StudyIndex;
  readonly pp: StudyIndex;
  readonly ppk: StudyIndex;
  readonly cpm: StudyIndex;
}

export interface StudyDiagnostics {
  readonly lag1: number | null;
  readonly lag1Band: readonly [number, number] | null;
  readonly ljungBox: { readonly q: number; readonly lags: number; readonly p: number } | null;
  readonly andersonDarling: { readonly a2: number; readonly adjusted: number; readonly p: number } | null;
  /** (sigmaOverall / sigmaWithin) squared. */
  readonly overallToWithin: number | null;
  readonly distinctValues: number;
}

/** A change of level: the first place of the new level, and the places that the data leave possible. */
export interface ChangePoint {
  readonly index: number;
  readonly set: readonly number[];
}

/** One chart with what the rules say of its points. */
export interface StudiedChart {
  readonly chart: DrawnChart;
  readonly signals: SignalColumn;
}

/** All that a study says. */
export interface StudyResult {
  /** Rows that were read. */
  readonly n: number;
  /** The form of chart that was drawn, and why when nobody asked for one. */
  readonly form: string;
  readonly advice: string | null;
  readonly charts: readonly StudiedChart[];
  readonly sigmaWithin: number | null;
  readonly sigmaOverall: number | null;
  readonly diagnostics: StudyDiagnostics;
  readonly changePoints: readonly ChangePoint[];
  /** Null when no specification was given. */
  readonly capability: StudyCapability | null;
  readonly cautions: readonly Caution[];
}
