import { type Capability, capabilityStudy } from "../../spc/capability/study.ts";
import { writtenSpacing } from "../../spc/charts/written-spacing.ts";
import type { Subgroup } from "../../spc/model/chart.ts";
import type { PointRecord } from "../../spc/model/journal-entry.ts";
import type { LimitSet } from "../../spc/model/limit-set.ts";
import { OUTSIDE_SPECIFICATION } from "../../spc/rules/rule.ts";
import type { WireCapability } from "../contract/wire.ts";
import type { Charted } from "./charted.ts";
import type { FlagBook } from "./flag-book.ts";
import { importedPoints } from "./imported-points.ts";
import { instantOrNull } from "./wire-form.ts";

/** Newest values that a study rests on. */
const studyValues = 300;
/** Cause of a flag that leaves its points among the values: nothing showed that they do not belong there. */
export const noCauseFound = "no cause found";

interface StudyPoint extends Subgroup {
  /** A chart's signal at it that nobody has closed. */
  readonly unresolved: boolean;
}

/**
 * Capability over what the limits in force speak of: their baseline and all points since they rule, the newest of
 * them. A point whose signal was closed with a cause holds its place without a value; one closed without a cause
 * stays; one not closed makes the process count as not stable.
 */
export function capabilityOf(charted: Charted, limits: LimitSet | undefined, flags: FlagBook): WireCapability {
  const window = newest([...importedPart(charted, limits), ...streamedPart(charted, limits, flags)]);
  // A history that somebody wrote down has wider pauses, and they are no gaps while it is part of the window.
  const written = window.filter(({ index }) => index < 0).map(({ atMs }) => atMs);
  const open = flags.openOn(charted.characteristic.id);
  const rules = open === null ? [] : (flags.find(open)?.rules ?? []);
  const study = capabilityStudy({
    window,
    everyMs: writtenSpacing(written, charted.characteristic.everyMs),
    specification: charted.characteristic.specification,
    stability: {
      limitsInForce: limits !== undefined,
      signals: window.filter(({ unresolved }) => unresolved).length,
      flagOpen: rules.some((rule) => rule !== OUTSIDE_SPECIFICATION),
    },
  });
  return wireCapability(study);
}

/** Imported runs were never judged, so they count only as part of a baseline that somebody looked at. */
function importedPart({ characteristic, imported }: Charted, limits: LimitSet | undefined): StudyPoint[] {
  const points = importedPoints(characteristic, imported, undefined, imported.count - 2 * studyValues, imported.count);
  return points
    .filter(({ atMs, run }) => limits === undefined || isOfBaseline(limits, atMs, run))
    .flatMap((point) => studyPoints(point, false, false));
}

function streamedPart({ recent }: Charted, limits: LimitSet | undefined, flags: FlagBook): StudyPoint[] {
  return recent
    .filter((p) => limits === undefined || p.limitSet === limits.id || isOfBaseline(limits, p.atMs, p.run))
    .flatMap((point) => {
      const flag = flags.chartFlag(point.signals);
      const explained = flag?.done != null && flag.done.cause !== noCauseFound;
      return studyPoints(point, explained, flag !== undefined && flag.done === null);
    });
}

function isOfBaseline({ baseline }: LimitSet, atMs: number, run: string): boolean {
  return baseline.fromMs <= atMs && atMs <= baseline.toMs && !Object.hasOwn(baseline.excluded, run);
}

/** Capability is about single runs, whatever is plotted of them. */
function studyPoints(point: PointRecord, explained: boolean, unresolved: boolean): readonly StudyPoint[] {
  const { subgroup: index, run, atMs, location } = point;
  const members = point.members ?? [{ run, atMs, value: location.value }];
  return members.map((one, i): StudyPoint => {
    const values = one.value === null || explained ? [] : [one.value];
    // A subgroup's signal is one signal.
    return { index, atMs: one.atMs, runs: [one.run], values, unresolved: unresolved && i === members.length - 1 };
  });
}

/** The newest so many values, in time order, with the places between them that have none. */
function newest(points: readonly StudyPoint[]): StudyPoint[] {
  const ordered = points.toSorted((a, b) => a.atMs - b.atMs);
  let values = 0;
  let from = ordered.length;
  while (from > 0 && values < studyValues) {
    from -= 1;
    values += ordered[from]?.values.length ?? 0;
  }
  return ordered.slice(from);
}

function wireCapability({ fromMs, toMs, cautions, ...rest }: Capability): WireCapability {
  return { ...rest, from: instantOrNull(fromMs), to: instantOrNull(toMs), cautions: [...cautions] };
}
