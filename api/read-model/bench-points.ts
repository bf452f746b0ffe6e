import type { Journal } from "../../collector/store/journal.ts";
import { isGap } from "../../spc/charts/gap.ts";
import { pointEveryMs } from "../../spc/model/characteristic.ts";
import type { PointRecord } from "../../spc/model/journal-entry.ts";
import type { LimitSet } from "../../spc/model/limit-set.ts";
import { anewPlaces } from "../../spc/proposal/chart-window.ts";
import type { WireBench } from "../contract/bench-wire.ts";
import type { Charted } from "./charted.ts";
import { importedPoints } from "./imported-points.ts";
import { newestPoints } from "./wire-characteristic.ts";
import { instant, wireLimitSet } from "./wire-form.ts";

export interface BenchSpan {
  readonly fromMs?: number | undefined;
  readonly toMs?: number | undefined;
}

/** Points of a span as the Bench draws them, imported ones before the streamed ones. */
export interface BenchPoints {
  readonly points: readonly PointRecord[];
  /** Places that no line is drawn to. */
  readonly anew: ReadonlySet<number>;
  /** More were asked for than are drawn. */
  readonly leftOff: boolean;
}

const usualPoints = 120;
const mostPoints = 1_000;

export function benchPoints(
  journal: Journal,
  charted: Charted,
  limits: LimitSet | undefined,
  { fromMs, toMs }: BenchSpan,
): BenchPoints {
  if (fromMs === undefined && toMs === undefined) {
    return withGaps(charted, newestPoints(charted, limits, usualPoints), false);
  }
  const { imported, characteristic } = charted;
  const span = { ...(fromMs === undefined ? {} : { fromMs }), ...(toMs === undefined ? {} : { toMs }) };
  const entries = journal.read({
    ...{ kinds: ["point"], subject: characteristic.id, ...span },
    ...{ orderBy: "time", newestFirst: true, limit: mostPoints + 1 },
  });
  const streamed = entries.flatMap((entry) => (entry.kind === "point" ? [entry.body] : [])).reverse();
  const room = mostPoints - Math.min(mostPoints, streamed.length);
  // The place after a run without a name at that moment is the first of the span.
  const from = fromMs === undefined ? 0 : imported.placeAfter(fromMs, "");
  const to = toMs === undefined ? imported.count : imported.placeAfter(toMs, "");
  const old = importedPoints(characteristic, imported, limits, Math.max(from, to - room), to);
  const leftOff = streamed.length > mostPoints || to - from > room;
  return withGaps(charted, [...old, ...streamed.slice(-mostPoints)], leftOff);
}

function withGaps(charted: Charted, points: readonly PointRecord[], leftOff: boolean): BenchPoints {
  const split = points.findIndex(({ imported }) => !imported);
  const firstStreamed = split < 0 ? points.length : split;
  const placesOf = (part: readonly PointRecord[], everyMs: number): readonly number[] =>
    anewPlaces(
      part.map(({ atMs, location }) => ({ atMs, value: location.value })),
      everyMs,
    );
  const anew = new Set([
    ...placesOf(points.slice(0, firstStreamed), everyOf(charted, true)),
    ...placesOf(points.slice(firstStreamed), everyOf(charted, false)).map((place) => place + firstStreamed),
    // Runs that somebody wrote down and runs that we saw are no neighbours.
    ...(firstStreamed > 0 && firstStreamed < points.length ? [firstStreamed] : []),
  ]);
  return { points, anew, leftOff };
}

function everyOf({ characteristic, imported }: Charted, written: boolean): number {
  const everyMs = written ? imported.spacingMs(characteristic.everyMs) : characteristic.everyMs;
  return pointEveryMs({ ...characteristic, everyMs });
}

/** Stretches without runs, and stretches of runs without a value, each with its reason. */
export function benchGaps(charted: Charted, { points }: BenchPoints): WireBench["gaps"] {
  const gaps: WireBench["gaps"] = [];
  points.forEach((point, at) => {
    const before = points[at - 1];
    if (before !== undefined && before.imported === point.imported) {
      if (isGap(before.atMs, point.atMs, everyOf(charted, point.imported))) {
        const reason = { code: "no-runs", detail: "no runs" };
        gaps.push({ kind: "no-runs", from: placeOf(before), to: placeOf(point), reason });
      }
    }
    if (point.location.value !== null) return;
    const reason = point.refusal ?? { code: "no-value", detail: "the run gave no value" };
    const last = gaps.at(-1);
    const goesOn = last?.kind === "no-value" && last.to.run === before?.run && last.reason.code === reason.code;
    if (goesOn) gaps[gaps.length - 1] = { ...last, to: placeOf(point) };
    else gaps.push({ kind: "no-value", from: placeOf(point), to: placeOf(point), reason });
  });
  return gaps;
}

/** Stretches under one limit set. */
export function benchPhases({ limitSets }: Charted, { points }: BenchPoints): WireBench["phases"] {
  const sets = new Map(limitSets.map((set) => [set.id, set]));
  const phases: WireBench["phases"] = [];
  let former: string | null | undefined;
  for (const point of points) {
    const last = phases.at(-1);
    if (last !== undefined && former === point.limitSet && last.imported === point.imported) {
      phases[phases.length - 1] = { ...last, to: placeOf(point), points: last.points + 1 };
      continue;
    }
    former = point.limitSet;
    const set = point.limitSet === null ? undefined : sets.get(point.limitSet);
    phases.push({
      limits: set === undefined ? null : wireLimitSet(set),
      imported: point.imported,
      ...{ from: placeOf(point), to: placeOf(point), points: 1 },
    });
  }
  return phases;
}

function placeOf({ run, atMs }: PointRecord): { run: string; at: string } {
  return { run, at: instant(atMs) };
}
