import type { Plant } from "../../../simulator/plant.ts";
import type { Source } from "../../../simulator/plant-layout.ts";
import type { TrueRun } from "../../../simulator/runs/true-run.ts";
import { runBooks } from "../../../simulator/runs/true-runs.ts";
import { startOf } from "../../../simulator/schedule.ts";
import { type ExtractedRun, extractRuns } from "./extract-runs.ts";

/** What the product made of a stretch of the plant's life, beside what truly was. */
export interface Beside {
  readonly station: string;
  readonly trueRuns: number;
  /** Runs that truly were and were not found, and the other way round. */
  readonly missed: readonly string[];
  readonly invented: readonly string[];
  /** Largest distance of a border from the true one, ms. */
  readonly startOffMs: number;
  readonly endOffMs: number;
  /** By feature: what was read less what truly was, and how many runs gave no number. */
  readonly errors: ReadonlyMap<string, { readonly off: number[]; refused: number }>;
}

/** `kinds`: stations, or a further kind of run at one: `PO-F.ladle`. */
export function besideTruth(plant: Plant, source: Source, kinds: readonly string[], hours: number): Beside[] {
  const { firstMs } = plant.model.key;
  const toMs = firstMs + hours * 3_600_000;
  const stationOf = (kind: string): string => kind.split(".")[0]!;
  const found = extractRuns(plant, source, kinds.map(stationOf), firstMs, toMs);
  return kinds.map((kind) => {
    const own = found.filter(
      ({ run }) => kind === (run.kind === undefined ? run.station : `${run.station}.${run.kind}`),
    );
    return beside(kind, trueRunsOf(plant, stationOf(kind), kind, firstMs, toMs), own);
  });
}

/** Runs that lie inside the stretch with a little to spare, so that none is cut by its ends. */
function trueRunsOf(plant: Plant, station: string, kind: string, fromMs: number, toMs: number): readonly TrueRun[] {
  const book = runBooks(plant.model).get(station);
  if (book === undefined) throw new RangeError(`no book of ${station}`);
  const { originMs, periodMs, jitterMs } = book.schedule;
  const runs: TrueRun[] = [];
  const reachMs = 7 * 24 * 3_600_000;
  let number = Math.floor((fromMs - reachMs - jitterMs - originMs) / periodMs);
  for (; startOf(book.schedule, number) < toMs; number += 1) runs.push(...book.of(number));
  // The kind of a run stands before the name of its item and its time.
  return runs.filter(({ id, startMs, endMs }) => {
    return id.split(/[~:]/u)[0] === kind && startMs >= fromMs && endMs < toMs - 120_000;
  });
}

function beside(station: string, trueRuns: readonly TrueRun[], found: readonly ExtractedRun[]): Beside {
  const errors = new Map<string, { off: number[]; refused: number }>();
  const missed: string[] = [];
  const taken = new Set<ExtractedRun>();
  let [startOffMs, endOffMs] = [0, 0];
  for (const [place, one] of trueRuns.entries()) {
    const match = nearest(one, found);
    if (match === undefined) {
      missed.push(one.id);
      continue;
    }
    taken.add(match);
    startOffMs = Math.max(startOffMs, Math.abs(match.run.startMs - one.startMs));
    endOffMs = Math.max(endOffMs, Math.abs(match.run.endMs - one.endMs));
    for (const [feature, { value }] of Object.entries(one.features)) {
      const read = match.features[feature];
      if (read === undefined) continue;
      // The plant counts equal readings from before the first one that was sent, too.
      if (feature.startsWith("repeats") && value > place + 1) continue;
      const known = errors.get(feature) ?? { off: [], refused: 0 };
      if (Number.isNaN(read)) known.refused += 1;
      else known.off.push(read - value);
      errors.set(feature, known);
    }
  }
  const [firstMs, lastMs] = [trueRuns[0]?.startMs ?? 0, trueRuns.at(-1)?.endMs ?? 0];
  const invented = found
    .filter((one) => !taken.has(one) && one.run.startMs >= firstMs && one.run.endMs <= lastMs)
    .map(({ run }) => run.id);
  return { station, trueRuns: trueRuns.length, missed, invented, startOffMs, endOffMs, errors };
}

/** The run found that overlaps the true one most. */
function nearest({ startMs, endMs }: TrueRun, found: readonly ExtractedRun[]): ExtractedRun | undefined {
  const shared = ({ run }: ExtractedRun): number => Math.min(endMs, run.endMs) - Math.max(startMs, run.startMs);
  let best: ExtractedRun | undefined;
  for (const one of found) if (shared(one) > (best === undefined ? 0 : shared(best))) best = one;
  return best;
}
