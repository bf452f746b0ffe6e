import type { JournalEntry, StoredEntry } from "../../spc/model/journal-entry.ts";
import type { Run } from "../../spc/model/run.ts";
import type { Station } from "../platform/settings/site.ts";
import type { Journal } from "../store/journal.ts";
import type { SampleStore } from "../store/sample-store.ts";
import { decisionBook } from "./decision-book.ts";
import { instrumentBook } from "./instrument-book.ts";
import type { JournalNews } from "./journal-news.ts";
import { lentInstruments } from "./lent-instruments.ts";
import { readSlice } from "./read-slice.ts";
import { readRaw, readTrace } from "./read-trace.ts";
import { cuttingSeries } from "./role-series.ts";
import { setUpBook } from "./set-up-book.ts";
import { stationFold } from "./station-fold.ts";
import { checkpointName, type StationState } from "./station-state.ts";

/** Most samples of one series in one slice. */
const SLICE_SAMPLES = 500;
/** A checkpoint of a station without anything new to tell is saved when this many samples would have to be cut again. */
const UNSAVED_SAMPLES = 50_000;

export interface PipelineParts {
  readonly store: SampleStore;
  readonly journal: Journal;
  readonly news: JournalNews;
  readonly ambientPressureHpa: number;
  /** A decision that does not fit the settings. */
  refused(entry: string, why: string): void;
}

export interface Slice {
  readonly entries: readonly JournalEntry[];
  /** Those that the journal did not have: a replay finds none. */
  readonly fresh: readonly StoredEntry[];
  readonly closed: readonly Run[];
  readonly samples: number;
  readonly state: StationState;
  /** End of the last run before these. */
  readonly formerEndMs: number | null;
}

export interface StationPipeline {
  readonly station: Station;
  state(): StationState;
  /** True when samples before `untilMs` wait to be cut. */
  behind(untilMs: number): boolean;
  /** Cuts the next slice and writes what it found; called inside a journal transaction, which keeps all or nothing. */
  advance(untilMs: number, foundMs: number): Slice;
}

/** One station, from its checkpoint on. After a transaction that failed it must be made anew. */
export function stationPipeline(station: Station, parts: PipelineParts): StationPipeline {
  const { store, journal, news } = parts;
  const fold = stationFold(station);
  const series = cuttingSeries(station);
  const decisions = decisionBook(news, station.id);
  const instruments = instrumentBook(journal, news, station.id);
  const lent = lentInstruments(journal, news, station);
  const setUps = setUpBook(news, station.id);
  const name = checkpointName(station.id);
  let state = (journal.checkpoint(name) as StationState | undefined) ?? fold.initial;
  let unsaved = 0;

  return {
    station,
    state: () => state,
    behind: (untilMs) => untilMs > (state.cursorMs ?? -Infinity),
    advance: (untilMs, foundMs) => {
      news.refresh();
      const heard = setUps.hear(state.cursorMs ?? 0);
      const fromMs = state.cursorMs ?? Number.MIN_SAFE_INTEGER;
      const slice = readSlice(store, series, { fromMs, toMs: Math.max(fromMs, untilMs) }, SLICE_SAMPLES);
      const result = fold.step(state, slice.samples, {
        trace: (run, roles) => readTrace(store, station, parts.ambientPressureHpa, run, roles),
        raw: (run, roles) => readRaw(store, station, parts.ambientPressureHpa, run, roles),
        decisions,
        instruments,
        lent,
        said: setUps.said,
        foundMs,
        refused: parts.refused,
      });
      const next = untilMs > fromMs ? { ...result.state, cursorMs: slice.toMs } : result.state;
      const entries = [...heard, ...result.entries];
      const fresh = journal.append(entries);
      const owed = unsaved + slice.samples.length;
      const save = entries.length > 0 || owed >= UNSAVED_SAMPLES;
      if (save) journal.saveCheckpoint(name, next);
      const formerEndMs = state.lastEndMs;
      state = next;
      unsaved = save ? 0 : owed;
      const { closed } = result;
      return { entries, fresh, closed, samples: slice.samples.length, state, formerEndMs };
    },
  };
}
