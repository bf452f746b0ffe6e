import type { Clock } from "../platform/clock.ts";
import { Fault } from "../platform/fault.ts";
import { growingWait } from "../platform/growing-wait.ts";
import type { InfluxAccess } from "../platform/influx-access.ts";
import type { Log } from "../platform/log.ts";
import type { RefusedLine } from "../store/forward-book.ts";
import { checkInflux, type InfluxFound } from "../store/influx/check-influx.ts";
import { influxHost } from "../store/influx/influx-address.ts";
import { lineWriter } from "../store/influx/influx-line.ts";
import { type InfluxQuery, influxQuery } from "../store/influx/influx-query.ts";
import { type InfluxReadings, influxReadings } from "../store/influx/influx-readings.ts";
import { type InfluxCode, InfluxTrouble } from "../store/influx/influx-trouble.ts";
import { CHUNK_LINES, type InfluxWriter, influxWriter } from "../store/influx/influx-writer.ts";
import type { Journal } from "../store/journal.ts";
import { knownThere } from "../store/known-there.ts";
import type { SampleStore } from "../store/sample-store.ts";
import { type BehindFigures, behindOf } from "./behind-figures.ts";
import { dayWatch } from "./day-watch.ts";
import { type Chunk, isEmpty, readingFeed } from "./reading-feed.ts";
import { type RunChunk, runFeed } from "./run-feed.ts";
import { sendChunk } from "./send-chunk.ts";

const IDLE_MS = 1_000;
const FIRST_WAIT_MS = 1_000;
const LONGEST_WAIT_MS = 60_000;
const FIGURES_EVERY_MS = 10_000;
/** Refused lines that are kept with their words; beyond, what is refused is no longer taken for done. */
const MOST_REFUSED = 100_000;

export interface ForwarderParts {
  readonly access: () => InfluxAccess;
  /** As `siteTag` makes it of the site's name. */
  readonly site: string;
  readonly store: SampleStore;
  readonly journal: Journal;
  readonly clock: Clock;
  readonly log: Log;
}

export interface ForwardStatus extends BehindFigures {
  /** Host and port. */
  readonly where: string | null;
  readonly version: string | null;
  /** Why nothing goes there now; null while it does. */
  readonly trouble: { readonly code: string; readonly words: string; readonly sinceMs: number } | null;
  /** What it said last, whether or not it is over. */
  readonly lastTrouble: { readonly code: string; readonly words: string; readonly atMs: number } | null;
  /** When all that there was had gone, last. */
  readonly upToDateMs: number | null;
  /** Readings that went since the process began, those that went twice included. */
  readonly forwarded: number;
  readonly refusedLines: number;
  /** Lines that its retention policy would not keep, since the process began. */
  readonly beyondRetention: number;
  /** Days in which fewer readings were found there than here, since the process began. */
  readonly shortDays: number;
}

export interface Forwarder {
  status(): ForwardStatus;
  /** The newest lines that it would not take. */
  refused(most: number): readonly RefusedLine[];
  /** Forwards until the signal aborts. Rejects with a defect only. */
  run(signal: AbortSignal): Promise<void>;
}

interface Connection {
  readonly access: InfluxAccess;
  readonly writer: InfluxWriter;
  readonly query: InfluxQuery;
  readonly far: InfluxReadings;
  readonly found: InfluxFound;
  /** Breaks off what is on its way. */
  close(): void;
}

/**
 * Copies readings and run values from the local store into InfluxDB: one chunk on its way at a time, the watermark moves
 * when it has arrived, and what goes wrong there is waited out here. Whatever happens, the local store has it all.
 */
export function forwarder({ access, site, store, journal, clock, log }: ForwarderParts): Forwarder {
  const lines = lineWriter(site);
  const feed = readingFeed(store, lines);
  const runs = runFeed({ journal, store }, lines);
  const days = dayWatch({ store, runs, clock, log });
  const wait = growingWait(FIRST_WAIT_MS, LONGEST_WAIT_MS);
  let status: Omit<ForwardStatus, keyof BehindFigures | "refusedLines" | "shortDays"> = {
    ...{ where: null, version: null, trouble: null, lastTrouble: null, upToDateMs: null },
    ...{ forwarded: 0, beyondRetention: 0 },
  };
  let figures: BehindFigures = { behindReadings: 0, behindSeconds: 0 };
  let figuresMs = Number.NEGATIVE_INFINITY;
  let toldBeyond = false;

  const refreshFigures = async (): Promise<void> => {
    if (clock.nowMs() - figuresMs < FIGURES_EVERY_MS) return;
    figuresMs = clock.nowMs();
    figures = await behindOf(store);
  };

  const connect = async (signal: AbortSignal): Promise<Connection> => {
    const given = access();
    const [writer, query] = [influxWriter(given), influxQuery(given)];
    const close = (): void => {
      signal.removeEventListener("abort", close);
      writer.close();
      query.close();
    };
    signal.addEventListener("abort", close);
    try {
      const found = await checkInflux(given, { writer, query, site, nowMs: Math.floor(clock.nowMs()) });
      return { access: given, writer, query, far: influxReadings(query, site), found, close };
    } catch (error) {
      close();
      throw error;
    }
  };

  const begun = ({ access: given, found }: Connection): void => {
    const where = influxHost(given);
    const { trouble } = status;
    status = { ...status, where, version: found.version, trouble: null };
    log.info(
      { influx: where, version: found.version },
      trouble === null ? "long-term store found" : "the long-term store works again",
    );
    if (found.keepsMs !== null && trouble === null) {
      const hours = found.keepsMs / 3_600_000;
      log.warn(
        { influx: where, hours },
        "the retention policy of the long-term store lets readings go after these hours",
      );
    }
  };

  const fail = (error: unknown): number => {
    const known = troubleWords(error);
    const nowMs = clock.nowMs();
    const last = { ...known, atMs: nowMs };
    if (status.trouble === null || status.trouble.code !== known.code) {
      log.error(known, "readings do not go to the long-term store; they are kept here");
      status = { ...status, trouble: { ...known, sinceMs: status.trouble?.sinceMs ?? nowMs } };
    }
    status = { ...status, lastTrouble: last };
    const asked = error instanceof InfluxTrouble ? error.retryAfterMs : 0;
    return Math.max(wait.next(), asked);
  };

  /** Readings that were let go here may be there in the form that came first, which is the one that counts. */
  const withoutKnown = async (far: InfluxReadings, chunk: Chunk): Promise<readonly number[]> => {
    const known = new Set<string>();
    for (const { series, fromMs, toMs } of chunk.mayBeThere) {
      const own = chunk.samples.filter((one) => one.series === series && one.tMs >= fromMs && one.tMs < toMs);
      const times = own.map(({ tMs }) => tMs);
      for (const tMs of await knownThere(far, series, times)) known.add(`${series} ${tMs}`);
    }
    return chunk.samples.flatMap(({ series, tMs }, place) => (known.has(`${series} ${tMs}`) ? [] : [place]));
  };

  const sendReadings = async ({ writer, far }: Connection, chunk: Chunk): Promise<void> => {
    const places =
      chunk.mayBeThere.length === 0 ? chunk.lines.map((_, place) => place) : await withoutKnown(far, chunk);
    const sent = await sendChunk(
      writer,
      places.map((place) => chunk.lines[place]!),
      "ms",
    );
    const refused = sent.refused.map(({ place, code, words }): RefusedLine => {
      const { series, tMs } = chunk.samples[places[place]!]!;
      return { series, tMs, code, words, line: chunk.lines[places[place]!]! };
    });
    const all = [...chunk.refused, ...refused];
    if (all.length > 0 && store.forwarding.refusedCount() > MOST_REFUSED) {
      throw new InfluxTrouble("configuration", "influx-refuses-all", all[0]!.words);
    }
    store.forwarding.done({ until: chunk.until, behind: chunk.behind, refused: all });
    feed.arrived(chunk);
    noteSent(places.length - refused.length, sent.beyondRetention);
    for (const { code, words, line } of all)
      log.error({ code, words, line }, "a line that the long-term store refuses");
  };

  const noteSent = (count: number, beyond: number): void => {
    status = {
      ...status,
      forwarded: status.forwarded + count,
      beyondRetention: status.beyondRetention + beyond,
    };
    if (beyond === 0 || toldBeyond) return;
    toldBeyond = true;
    const code: InfluxCode = "influx-beyond-retention";
    log.warn({ code, lines: beyond }, "older than the retention policy of the long-term store keeps; not kept there");
  };

  const sendRuns = async ({ writer }: Connection, chunk: RunChunk): Promise<void> => {
    for (let from = 0; from < chunk.lines.length; from += CHUNK_LINES) {
      const part = chunk.lines.slice(from, from + CHUNK_LINES);
      const { refused } = await sendChunk(writer, part, "ns");
      for (const { place, code, words } of refused) {
        log.error({ code, words, line: part[place] }, "a run value that the long-term store refuses");
      }
    }
    runs.arrived(chunk);
  };

  const work = async (connection: Connection, signal: AbortSignal): Promise<void> => {
    feed.reset();
    for (let chunk = await feed.next(); !signal.aborted; ) {
      if (chunk.full) {
        const sending = sendReadings(connection, chunk);
        // The next one is made while this one is on its way; it goes only when this one has arrived.
        chunk = await both(sending, feed.next());
        wait.reset();
        await refreshFigures();
        await days.look(connection.far, connection.found.keepsMs, false);
        continue;
      }
      // All that there was: what comes from now on gathers for a while, or each reading would go by itself.
      if (!isEmpty(chunk)) await sendReadings(connection, chunk);
      for (let run = runs.next(); run !== null; run = runs.next()) await sendRuns(connection, run);
      wait.reset();
      status = { ...status, upToDateMs: clock.nowMs() };
      await refreshFigures();
      if (!(await days.look(connection.far, connection.found.keepsMs, true))) await clock.sleep(IDLE_MS, signal);
      chunk = await feed.next();
    }
  };

  return {
    status: () => ({
      ...status,
      ...figures,
      refusedLines: store.forwarding.refusedCount(),
      shortDays: days.shortDays(),
    }),
    refused: store.forwarding.refused,
    run: async (signal) => {
      while (!signal.aborted) {
        let waitMs = 0;
        try {
          const connection = await connect(signal);
          begun(connection);
          days.restart();
          try {
            await work(connection, signal);
          } finally {
            connection.close();
          }
        } catch (error) {
          if (signal.aborted) return;
          if (!(error instanceof InfluxTrouble) && !(error instanceof Fault)) throw error;
          waitMs = fail(error);
          await refreshFigures();
        }
        try {
          await clock.sleep(waitMs, signal);
        } catch (error) {
          if (!signal.aborted) throw error;
        }
      }
    },
  };
}

/** The next chunk, once the one before has arrived; whatever becomes of it, nothing is left going on. */
async function both(sending: Promise<void>, making: Promise<Chunk>): Promise<Chunk> {
  const [sent, made] = await Promise.allSettled([sending, making]);
  if (sent.status === "rejected") throw sent.reason;
  if (made.status === "rejected") throw made.reason;
  return made.value;
}

function troubleWords(error: unknown): { readonly code: string; readonly words: string } {
  const { code, message } = error as InfluxTrouble | Fault;
  return { code, words: message };
}
