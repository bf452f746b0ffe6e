import type { MessageRouter } from "../notify/message-router.ts";
import type { Bus } from "../platform/bus.ts";
import type { Clock } from "../platform/clock.ts";
import { Fault } from "../platform/fault.ts";
import type { Log } from "../platform/log.ts";
import type { Site, Station } from "../platform/settings/site.ts";
import type { Journal } from "../store/journal.ts";
import type { SampleStore } from "../store/sample-store.ts";
import { type CommonWatch, commonWatch } from "./common-watch.ts";
import { type Freshness, freshnessOf } from "./freshness.ts";
import { type HandValues, handValues } from "./hand-values.ts";
import { journalNews } from "./journal-news.ts";
import { pruneSnapshots } from "./prune-snapshots.ts";
import { isTooQuiet } from "./quiet-source.ts";
import { type Recomputation, recomputation } from "./recomputation.ts";
import { type SilenceWatch, silenceWatch } from "./silence.ts";
import { type Slice, type StationPipeline, stationPipeline } from "./station-pipeline.ts";
import { checkpointName, type StationState } from "./station-state.ts";
import { type UnseenWatch, unseenWatch } from "./unseen.ts";
import { rest, type Waker, wakeOnNews } from "./wake-on-news.ts";
import { watermarks } from "./watermark.ts";

/** Most work before the event loop gets its turn, for ingest must never wait long: whichever is reached first. */
const GROUP_SAMPLES = 10_000;
const GROUP_MS = 25;
/** Time between two looks at the clock, for what only it can tell. */
const TICK_MS = 1_000;
const RETRY_MS = 2_000;

export interface PipelineInput {
  readonly site: Site;
  readonly store: SampleStore;
  readonly journal: Journal;
  readonly clock: Clock;
  readonly bus: Bus;
  readonly log: Log;
  /** Makes what turns findings into messages; left out, nobody is told. */
  readonly router?: () => MessageRouter;
}

export interface Pipeline {
  /** Runs until stopped; rejects on a defect, so that the process may end and begin again from its checkpoints. */
  run(signal: AbortSignal): Promise<void>;
  /** Cuts all that is complete now. */
  drain(): Promise<void>;
  /** What the clock decides: silence, and flags that outlived their shift unseen. */
  tick(): void;
  freshness(): readonly Freshness[];
  /** By station: how far, in source time, it lies behind its source's newest reading. */
  lagMs(): ReadonlyMap<string, number>;
}

/** From stored samples to signals: the one loop, for live data, a backlog and a restart alike. */
export function pipeline(input: PipelineInput): Pipeline {
  const { site, store, journal, clock, bus, log } = input;
  const marks = watermarks(site.latenessMs);
  const watchedMs = clock.nowMs();
  const parts = {
    store,
    journal,
    ambientPressureHpa: site.ambientPressureHpa,
    refused: (entry: string, why: string) => log.error({ entry, why }, "a decision does not fit the settings"),
  };
  for (const station of site.stations) {
    const saved = journal.checkpoint(checkpointName(station.id)) as StationState | undefined;
    if (saved?.cursorMs != null) store.settle(station.id, saved.cursorMs);
  }
  marks.observe(store.newestBySource(), watchedMs);

  const begin = (): StationPipeline[] => {
    const news = journalNews(journal);
    return site.stations.map((station) => stationPipeline(station, { ...parts, news }));
  };
  let stations = begin();
  let silence: SilenceWatch = silenceWatch(site, store, journal);
  let unseen: UnseenWatch = unseenWatch(site, journal);
  let byHand: HandValues = handValues(site, journal, parts.refused);
  let common: CommonWatch = commonWatch(site, journal);
  let again: Recomputation = recomputation({ site, store, journal });
  let router = input.router?.();
  let seenSeq = journal.lastSeq();
  /** After a start, and when another hand wrote to the journal, every station looks once for decisions. */
  let allDue = true;
  let turn = 0;
  let tickedMs = watchedMs;

  const stateOf = (id: string): StationState | undefined => stations.find((one) => one.station.id === id)?.state();
  const cutMs = (id: string): number => {
    const one = stations.find(({ station }) => station.id === id);
    const cursorMs = one?.state().cursorMs ?? null;
    const newestMs = one === undefined ? null : marks.newest(one.station.source);
    return cursorMs === null || newestMs === null || cursorMs > newestMs ? Number.POSITIVE_INFINITY : cursorMs;
  };
  const lenders = new Map(site.stations.map((station) => [station.id, lendersOf(station, site)]));
  /**
   * A lender's readings are waited for while it talks: a gateway that fell silent holds back nobody but its own. What came
   * of it is cut first, for its checks say whether what it lends is a number.
   */
  const untilOf = (station: Station): number => {
    let untilMs = marks.of(station.source) ?? Number.NEGATIVE_INFINITY;
    for (const { lender, first } of lenders.get(station.id)!) {
      const thereMs = marks.of(lender.source);
      if (thereMs === null) continue;
      if (marks.talking(lender.source)) untilMs = Math.min(untilMs, thereMs);
      if (!first) continue;
      const thereCutMs = stateOf(lender.id)?.cursorMs ?? Number.NEGATIVE_INFINITY;
      if (thereCutMs < thereMs) untilMs = Math.min(untilMs, thereCutMs);
    }
    return untilMs;
  };

  const due = (): readonly StationPipeline[] => {
    const waiting = stations.filter((one) => allDue || one.behind(untilOf(one.station)));
    // Begin where the last group ended, so that no station waits for the backlog of others.
    const first = waiting.length === 0 ? 0 : turn % waiting.length;
    return [...waiting.slice(first), ...waiting.slice(0, first)];
  };

  /** One transaction over as many stations as fit; true when more waits. */
  function group(): boolean {
    const nowMs = clock.nowMs();
    marks.observe(store.newestBySource(), nowMs);
    if (journal.lastSeq() !== seenSeq) {
      allDue = true;
      bus.announce("journal");
    }
    if (due().length === 0 && !again.waiting()) return false;
    const done: { readonly one: StationPipeline; readonly slice: Slice }[] = [];
    let found = false;
    journal.transaction(() => {
      // Under the journal's lock: what others wrote until now is seen by every station, or it is due once more.
      allDue ||= journal.lastSeq() !== seenSeq;
      let samples = 0;
      const full = (): boolean => samples >= GROUP_SAMPLES || clock.nowMs() - nowMs >= GROUP_MS;
      for (let round = due(); round.length > 0 && !full(); round = due()) {
        for (const one of round) {
          if (full()) break;
          const slice = one.advance(untilOf(one.station), nowMs);
          samples += slice.samples;
          done.push({ one, slice });
          turn += 1;
        }
        allDue &&= done.length < round.length;
      }
      const fresh = [...done.flatMap(({ slice }) => slice.fresh), ...byHand.advance(nowMs)];
      found = fresh.length + again.advance(nowMs).length > 0;
      const shared = journal.append(common.look(nowMs));
      router?.route([...fresh, ...shared], nowMs);
      seenSeq = journal.lastSeq();
    });
    for (const { one, slice } of done) settleSlice(one, slice);
    if (found) bus.announce("journal");
    return due().length > 0 || again.waiting();
  }

  function settleSlice(one: StationPipeline, slice: Slice): void {
    if (slice.state.cursorMs !== null) store.settle(one.station.id, slice.state.cursorMs);
    let formerEndMs = slice.formerEndMs;
    for (const run of slice.closed) {
      pruneSnapshots(store, one.station, run, formerEndMs);
      formerEndMs = run.endMs;
    }
  }

  /** After a failure nothing in memory is trusted: the next turn begins from what is on disk. */
  let failed = false;
  function recover(): void {
    stations = begin();
    silence = silenceWatch(site, store, journal);
    unseen = unseenWatch(site, journal);
    byHand = handValues(site, journal, parts.refused);
    common = commonWatch(site, journal);
    again = recomputation({ site, store, journal });
    router = input.router?.();
    allDue = true;
    failed = false;
  }

  /** One round: cut what is there, look at the clock, wait for news. A store that fails is tried again; a defect is not. */
  async function turnOnce(waker: Waker, signal: AbortSignal): Promise<void> {
    try {
      if (failed) recover();
      for (let more = true; more && !signal.aborted; ) {
        more = group();
        await new Promise((resolve) => setImmediate(resolve));
        // Long work is no reason for a message to wait.
        if (more && clock.nowMs() - tickedMs >= TICK_MS) self.tick();
      }
      self.tick();
      await waker.wait(TICK_MS, signal);
    } catch (error) {
      if (!(error instanceof Fault) || !error.retryable) throw error;
      failed = true;
      log.error({ code: error.code, err: error }, "the store failed; the pipeline tries again from its checkpoints");
      await rest(clock, RETRY_MS, signal);
    }
  }

  const self: Pipeline = {
    drain: async () => {
      while (group()) await new Promise((resolve) => setImmediate(resolve));
    },
    tick: () => {
      const nowMs = clock.nowMs();
      tickedMs = nowMs;
      const silent = silence.look({
        nowMs,
        openSinceMs: (id) => stateOf(id)?.openSinceMs ?? null,
        cutMs,
        catchingUp: (source) => marks.catchingUp(source, nowMs),
        talking: marks.talking,
      });
      const found = [...silent, ...unseen.look(nowMs)];
      const owed = (router?.dueMs() ?? Number.POSITIVE_INFINITY) <= nowMs;
      if (found.length === 0 && !owed) return;
      journal.transaction(() => {
        const fresh = journal.append(found);
        const shared = journal.append(common.look(nowMs));
        router?.route([...fresh, ...shared], nowMs);
        router?.release(nowMs);
      });
      bus.announce("journal");
    },
    run: async (signal) => {
      const waker = wakeOnNews(bus, clock);
      try {
        while (!signal.aborted) await turnOnce(waker, signal);
        // What came last, as far as one group takes it: the next start goes on from the checkpoints.
        if (!failed) group();
      } finally {
        waker.stop();
      }
    },
    freshness: () => {
      const nowMs = clock.nowMs();
      const newest = store.newestBySource();
      const quiet = new Set(
        site.sources
          .filter((source) => {
            const newestMs = newest.get(source.id);
            if (newestMs === undefined) return false;
            return isTooQuiet(source, site.shiftClock, nowMs, nowMs - Math.max(newestMs, watchedMs));
          })
          .map(({ id }) => id),
      );
      return stations.map(({ station, state }) =>
        freshnessOf(store, station, {
          nowMs,
          watchedMs,
          openSinceMs: state().openSinceMs,
          catchingUp: marks.catchingUp(station.source, nowMs),
          sourceQuiet: quiet.has(station.source),
        }),
      );
    },
    lagMs: () =>
      new Map(
        stations.map(({ station, state }) => {
          const newestMs = marks.newest(station.source);
          const { cursorMs } = state();
          return [station.id, newestMs === null || cursorMs === null ? 0 : Math.max(0, newestMs - cursorMs)];
        }),
      ),
  };
  return self;
}

interface Lender {
  readonly lender: Station;
  /** It is cut before its borrower; neither is where each borrows from the other. */
  readonly first: boolean;
}

function lendersOf(station: Station, { stations }: Site): readonly Lender[] {
  const of = ({ borrowed }: Station): readonly Station[] => {
    const ids = new Set(Object.values(borrowed).flatMap(({ from }) => Object.values(from).map((one) => one.station)));
    return stations.filter(({ id }) => ids.has(id));
  };
  const behind = (one: Station, seen: Set<Station>): Set<Station> => {
    for (const lender of of(one)) {
      if (seen.has(lender)) continue;
      seen.add(lender);
      behind(lender, seen);
    }
    return seen;
  };
  return of(station).map((lender) => ({ lender, first: !behind(lender, new Set()).has(station) }));
}
