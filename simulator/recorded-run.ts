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

/** What measuring makes of the true values. */
export function measured(truth: Readonly<Record<string, TrueFeature>>, random: Random): RecordedFeature[] {
  return Object.entries(truth).flatMap(([feature, { value, unit, bias, sd, off = 0 }]) => {
    // Drawn whether it is read or not, so that a fault of one instrument leaves the others as they were.
    const error = sd * random.normal();
    return off === null ? [] : [{ feature, unit, value: value + bias + off + error }];
  });
}
