import { runId } from "../spc/model/run.ts";
import type { Random } from "./random.ts";
import type { TrueFeature } from "./runs/true-run.ts";

/** One feature as a person or a press controller wrote it down. */
export interface RecordedFeature {
  readonly feature: string;
  readonly value: number;
  readonly unit: string;
}

/** One past run, without a trace: what a site has in its spreadsheets. */
export interface RecordedRun {
  /** The id that the run would have had, had it come as a stream. */
  readonly id: string;
  readonly station: string;
  readonly startMs: number;
  readonly endMs: number;
  readonly part: string | null;
  readonly features: readonly RecordedFeature[];
}

export function recordedRun(
  station: string,
  startMs: number,
  lastsMs: number,
  part: string | null,
  features: readonly RecordedFeature[],
): RecordedRun {
  return { id: runId(station, startMs), station, startMs, endMs: startMs + lastsMs, part, features };
}

/** What measuring makes of the true values. */
export function measured(truth: Readonly<Record<string, TrueFeature>>, random: Random): RecordedFeature[] {
  return Object.entries(truth).map(([feature, { value, unit, bias = 0, sd }]) => ({
    feature,
    unit,
    value: value + bias + sd * random.normal(),
  }));
}
