import { nextContinuity, unbroken } from "../charts/gap.ts";
import type { Subgroup } from "../model/chart.ts";
import type { Grouped } from "../model/grouped.ts";
import { singles } from "../model/grouped.ts";
import type { Refusal } from "../model/outcome.ts";

/** One stored run as a characteristic's chart takes it. */
export interface StoredValue {
  readonly run: string;
  readonly atMs: number;
  readonly imported: boolean;
  readonly value: number | null;
  readonly refusal?: Refusal;
}

/** Stored runs of a span, in time order. */
export interface ChartWindow {
  /** Runs that ended in from <= t < to. */
  readonly fromMs: number;
  readonly toMs: number;
  /** How far apart neighbours usually lie. */
  readonly everyMs: number;
  readonly runs: readonly StoredValue[];
}

/** Places before which memory of earlier points ends, ascending: as the live rules would forget. */
export function anewPlaces(
  points: readonly { readonly atMs: number; readonly value: number | null }[],
  everyMs: number,
): readonly number[] {
  const places: number[] = [];
  let continuity = unbroken;
  points.forEach(({ atMs, value }, place) => {
    const next = nextContinuity(continuity, atMs, value !== null, everyMs);
    continuity = next.continuity;
    if (next.anew) places.push(place);
  });
  return places;
}

/** The window as whole-series charts take it, its gaps held open. */
export function groupedWindow({ runs, everyMs }: ChartWindow): Grouped {
  return { ...singles(runs.map(({ value }) => value)), anew: anewPlaces(runs, everyMs) };
}

export function subgroupsOf(runs: readonly StoredValue[]): readonly Subgroup[] {
  return runs.map(({ run, atMs, value }, index) => ({
    ...{ index, atMs, runs: [run] },
    values: value === null ? [] : [value],
  }));
}
