import { nextContinuity, unbroken } from "../charts/gap.ts";
import { rationalSubgroups } from "../charts/rational-subgroups.ts";
import type { Characteristic } from "../model/characteristic.ts";
import { pointEveryMs, runsOfPoint } from "../model/characteristic.ts";
import type { Subgroup } from "../model/chart.ts";
import type { Grouped } from "../model/grouped.ts";
import { apartPlaces, subgroups as groupedOf } from "../model/grouped.ts";
import type { Refusal } from "../model/outcome.ts";
import { mean } from "../stats/moments.ts";

/** One stored run as a characteristic's chart takes it. */
export interface StoredValue {
  readonly run: string;
  readonly atMs: number;
  readonly imported: boolean;
  readonly value: number | null;
  readonly refusal?: Refusal;
  /** Part and tool: no subgroup reaches across a change. */
  readonly setting?: string;
}

/** Stored runs of a span, in time order. */
export interface ChartWindow {
  /** Runs that ended in from <= t < to. */
  readonly fromMs: number;
  readonly toMs: number;
  /** How far apart neighbouring runs usually lie. */
  readonly everyMs: number;
  readonly runs: readonly StoredValue[];
}

/** One place of a window's charts: a run, or the runs of a subgroup. */
export interface WindowPlace {
  /** Its run; of a subgroup the last one. */
  readonly run: string;
  readonly atMs: number;
  readonly imported: boolean;
  /** Oldest first. */
  readonly members: readonly StoredValue[];
  /** Values that are judged together; none where the place is only held. */
  readonly values: readonly number[];
  /** What stands for the place: its value, or the average of its values. */
  readonly value: number | null;
  readonly refusal?: Refusal;
  /** Of its last run. */
  readonly setting?: string;
}

/** The window in the places of its charts, the very ones that the live charts would make of it. */
export function windowPlaces({ runs, everyMs }: ChartWindow, as: Pick<Characteristic, "subgroup">): WindowPlace[] {
  const known = new Map(runs.map((stored) => [stored.run, stored]));
  return rationalSubgroups(subgroupsOf(runs), runsOfPoint(as), everyMs).map((subgroup) => {
    const members = subgroup.runs.map((run) => known.get(run)!);
    const { run } = members.at(-1)!;
    const { values, atMs, setting } = subgroup;
    const refusal = values.length > 0 ? undefined : whyNone(members);
    return {
      ...{ run, atMs, imported: members.some(({ imported }) => imported), members, values },
      value: values.length === 0 ? null : mean(values),
      ...(setting === undefined ? {} : { setting }),
      ...(refusal === undefined ? {} : { refusal }),
    };
  });
}

function whyNone(members: readonly StoredValue[]): Refusal | undefined {
  if (members.length === 1) return members[0]!.refusal;
  const has = members.filter(({ value }) => value !== null).length;
  const detail = `${has} of ${members.length} runs gave a value, and a subgroup needs 2`;
  return { code: "too-few", detail, needs: 2, has };
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

/** The places as whole-series charts take them, gaps held open. */
export function groupedPlaces(
  places: readonly WindowPlace[],
  as: Pick<Characteristic, "subgroup">,
  everyMs: number,
): Grouped {
  const anew = anewPlaces(places, pointEveryMs({ ...as, everyMs }));
  const apart = runsOfPoint(as) === 1 ? { apart: apartPlaces(places) } : {};
  return { ...groupedOf(places.map(({ values }) => values)), anew, ...apart };
}

/** Single runs, as limits are proposed from. */
export function subgroupsOf(runs: readonly StoredValue[]): readonly Subgroup[] {
  return runs.map(({ run, atMs, value, setting }, index) => ({
    ...{ index, atMs, runs: [run], values: value === null ? [] : [value] },
    ...(setting === undefined ? {} : { setting }),
  }));
}
