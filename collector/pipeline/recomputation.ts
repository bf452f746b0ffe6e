import type { FeatureValue, JournalEntry, RunRecord, StoredEntry } from "../../spc/model/journal-entry.ts";
import type { FeatureExtractor, RunInside, RunTrace } from "../../spc/model/run.ts";
import { revisedContext, type SaidSetUp, saidAt } from "../../spc/segment/set-ups.ts";
import type { Site, Station } from "../platform/settings/site.ts";
import { recomputeAskId, recomputedEntry, revisedEntry } from "../store/entries.ts";
import type { Journal } from "../store/journal.ts";
import type { SampleStore } from "../store/sample-store.ts";
import { featureOf, insideOf, type PlannedFeatures, plannedFeatures } from "./planned-features.ts";
import { readTrace } from "./read-trace.ts";
import { allSaid } from "./set-up-book.ts";

const checkpointName = "recompute";
/** Runs in one go: readings that come in meanwhile wait no longer than for these. */
const RUNS_AT_ONCE = 4;
/** Runs without readings that are named; the rest are counted. */
const MOST_NAMED = 500;

/** How far the ask came that is being answered. Plain JSON. */
interface Progress {
  readonly ask: string;
  /** Journal place of the last run that was looked at. */
  readonly afterSeq: number;
  readonly runs: number;
  readonly revised: number;
  readonly gone: readonly string[];
  readonly goneCount: number;
}

/** Reckons runs anew where a person asked for it, a few at a time. */
export interface Recomputation {
  /** Whether an ask waits or is being answered. */
  waiting(): boolean;
  /** The next runs; called inside the transaction that keeps what comes of them. */
  advance(foundMs: number): readonly StoredEntry[];
}

export interface RecomputationParts {
  readonly site: Site;
  readonly store: SampleStore;
  readonly journal: Journal;
}

type Asked = Extract<StoredEntry, { kind: "recompute-asked" }>;
type RunEntry = Extract<StoredEntry, { kind: "run" }>;

/**
 * Each ask takes the runs of its station and span in the order in which they were cut, so that the pours of a ladle come before
 * it. What comes out otherwise is a new revision beside the run's entry, which stays; points that were judged stay as well.
 * After a transaction that failed it must be made anew.
 */
export function recomputation({ site, store, journal }: RecomputationParts): Recomputation {
  let asks: readonly Asked[] = [];
  let done = new Set<string>();
  let seq = 0;
  let progress = (journal.checkpoint(checkpointName) as Progress | null | undefined) ?? null;
  const planned = new Map<string, ReadonlyMap<string | null, PlannedFeatures>>();

  const refresh = (): void => {
    const last = journal.lastSeq();
    if (last === seq) return;
    for (const entry of journal.read({ kinds: ["recompute-asked", "recomputed"], afterSeq: seq })) {
      if (entry.kind === "recompute-asked") asks = [...asks, entry];
      else if (entry.kind === "recomputed") done = new Set([...done, entry.body.ask]);
    }
    asks = asks.filter(({ id }) => !done.has(recomputeAskId(id)));
    seq = last;
  };

  const plansOf = (station: Station): ReadonlyMap<string | null, PlannedFeatures> => {
    const known = planned.get(station.id) ?? plannedFeatures(station);
    planned.set(station.id, known);
    return known;
  };

  const runsOf = ({ station, body: { fromMs, toMs } }: Asked, afterSeq: number): readonly RunEntry[] =>
    journal
      .read({ kinds: ["run"], station, fromMs, toMs, afterSeq, limit: RUNS_AT_ONCE })
      .flatMap((entry) => (entry.kind === "run" ? [entry] : []));

  /** What a run gives now, or null where readings that its numbers rest on are gone. */
  const again = (station: Station, record: RunRecord): { readonly gone: boolean; readonly features: Features } => {
    const { run } = record;
    const own = plansOf(station).get(run.kind ?? null);
    if (own === undefined) return { gone: false, features: record.features };
    const inside = run.kind === undefined ? {} : { inside: insideNow(station, record) };
    const trace = { ...readTrace(store, station, site.ambientPressureHpa, run, own.reads), ...inside };
    const before = new Map(record.features.map((one) => [one.feature, one]));
    let gone = false;
    const fresh = own.plans.map(({ extractor }): FeatureValue => {
      const was = before.get(extractor.id);
      // Who measured was found at fault then, and what it read is still no number.
      if (was?.refusal?.code === "instrument-fault") return was;
      const now = featureOf(extractor, trace);
      if (was === undefined || was.value === null || now.value !== null || !lacking(extractor, trace)) return now;
      gone = true;
      return was;
    });
    const names = new Set(fresh.map(({ feature }) => feature));
    // A feature that the settings no longer have stays as it was.
    return { gone, features: [...fresh, ...record.features.filter(({ feature }) => !names.has(feature))] };
  };

  const insideNow = (station: Station, { run }: RunRecord): readonly RunInside[] => {
    const within = journal.read({ kinds: ["run"], station: station.id, fromMs: run.startMs, toMs: run.endMs + 1 });
    const first = within.flatMap((entry) => (entry.kind === "run" && entry.body.run.kind === undefined ? [entry] : []));
    return insideOf(
      run,
      first.map(({ body }) => ({ run: body.run, features: newest(body).features })),
    );
  };

  const newest = (
    record: RunRecord,
  ): { readonly revision: number; readonly features: Features; readonly context: Words } => {
    const [last] = journal.read({ kinds: ["revised"], subject: record.run.id, newestFirst: true, limit: 1 });
    if (last?.kind === "revised") return last.body;
    return { revision: 1, features: record.features, context: record.run.context };
  };

  const one = (ask: string, station: Station, entry: RunEntry, said: readonly SaidSetUp[], foundMs: number) => {
    const record = entry.body;
    const { gone, features } = again(station, record);
    const stands = newest(record);
    const { context: had, startMs } = record.run;
    const ever = (key: string, word: string): boolean =>
      said.some(({ words, fromMs }) => fromMs <= startMs && words[key] === word);
    const context = revisedContext(had, startMs, { now: saidAt(said, startMs, 0), ever });
    const same = sameFeatures(stands.features, features) && sameWords(stands.context, context);
    const body = { run: record.run.id, revision: stands.revision + 1, ask, features, context, atMs: foundMs };
    return { gone, revised: same ? null : revisedEntry(station.id, body, record.run.endMs) };
  };

  return {
    waiting: () => {
      refresh();
      return asks.length > 0;
    },
    advance: (foundMs) => {
      refresh();
      const [asked] = asks;
      if (asked === undefined) return [];
      const ask = recomputeAskId(asked.id);
      const station = site.stations.find(({ id }) => id === asked.station);
      const before = progress?.ask === ask ? progress : begun(ask);
      const entries = station === undefined ? [] : runsOf(asked, before.afterSeq);
      const out: JournalEntry[] = [];
      let next = before;
      const said = entries.length === 0 ? [] : allSaid(journal, asked.station);
      for (const entry of entries) {
        next = { ...next, afterSeq: entry.seq };
        const { run, imported } = entry.body;
        if (station === undefined || imported || run.closedBy === "by-hand") continue;
        const { gone, revised } = one(ask, station, entry, said, foundMs);
        if (revised !== null) out.push(revised);
        next = {
          ...next,
          runs: next.runs + 1,
          revised: next.revised + (revised === null ? 0 : 1),
          goneCount: next.goneCount + (gone ? 1 : 0),
          gone: gone && next.gone.length < MOST_NAMED ? [...next.gone, run.id] : next.gone,
        };
      }
      const over = entries.length < RUNS_AT_ONCE;
      if (over) {
        const { runs, revised, gone, goneCount } = next;
        out.push(recomputedEntry(asked.station, { ask, runs, revised, gone, goneCount, atMs: foundMs }));
      }
      progress = over ? null : next;
      journal.saveCheckpoint(checkpointName, progress);
      return journal.append(out);
    },
  };
}

type Features = readonly FeatureValue[];
type Words = Readonly<Record<string, string>>;

function begun(ask: string): Progress {
  return { ask, afterSeq: 0, runs: 0, revised: 0, gone: [], goneCount: 0 };
}

/** Whether nothing at all is there any more of a role that the feature reads. */
function lacking({ roles }: FeatureExtractor, { samples }: RunTrace): boolean {
  return roles.some((role) => (samples[role] ?? []).length === 0);
}

function sameFeatures(a: Features, b: Features): boolean {
  const by = new Map(a.map((one) => [one.feature, one]));
  return (
    a.length === b.length &&
    b.every((one) => {
      const other = by.get(one.feature);
      return (
        other !== undefined &&
        other.value === one.value &&
        other.version === one.version &&
        other.refusal?.code === one.refusal?.code
      );
    })
  );
}

function sameWords(a: Words, b: Words): boolean {
  const keys = Object.keys(a);
  return keys.length === Object.keys(b).length && keys.every((key) => a[key] === b[key]);
}
