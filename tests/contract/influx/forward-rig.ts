import { type Forwarder, forwarder } from "../../../collector/forward/forwarder.ts";
import type { Clock } from "../../../collector/platform/clock.ts";
import type { InfluxAccess } from "../../../collector/platform/influx-access.ts";
import type { Log } from "../../../collector/platform/log.ts";
import { openLog } from "../../../collector/platform/log.ts";
import { openSampleStore } from "../../../collector/store/embedded/embedded-sample-store.ts";
import type { Journal } from "../../../collector/store/journal.ts";
import type { SampleStore } from "../../../collector/store/sample-store.ts";
import type { Sample } from "../../../spc/model/sample.ts";
import { eventually } from "../../eventually.ts";
import { fastClock } from "../../fakes/fast-clock.ts";
import { memoryJournal } from "../../fakes/memory-journal.ts";
import { temporaryFolder } from "../../temporary-folder.ts";
import { incoming, places } from "../store/incoming.ts";

export const site = "ostrimvale";
export const dayMs = 86_400_000;

export function accessTo(url: string, more: Partial<InfluxAccess> = {}): InfluxAccess {
  const usual = { version: 1, database: "steadypour", retentionPolicy: null, org: "", authorization: null, ca: null };
  return { url, ...usual, ...more } as InfluxAccess;
}

export interface ForwardRig {
  readonly journal: Journal;
  readonly clock: Clock;
  store(): SampleStore;
  forwarder(): Forwarder;
  /** Lines of the log so far. */
  said(): readonly Readonly<Record<string, unknown>>[];
  /** Commits readings, at most so many in one message. */
  add(samples: readonly Sample[], source?: string): void;
  /** Begins to forward. */
  begin(): void;
  /** Ends it, as a restart of the product would, with the store closed and opened again. */
  restart(): Promise<void>;
  end(): Promise<void>;
  /** Waits until there is nothing left to forward, and all of it was seen there. */
  arrived(withinMs?: number): Promise<void>;
  remove(): Promise<void>;
}

/** A store with a forwarder behind it, on a clock that goes a thousand times as fast. */
export function forwardRig(access: () => InfluxAccess, speed = 1_000, startMs = Date.UTC(2026, 5, 1)): ForwardRig {
  const folder = temporaryFolder();
  const open = (): SampleStore => openSampleStore(folder.path, places, { holdForLongTerm: true });
  const clock = fastClock(startMs, speed);
  const journal = memoryJournal();
  const said: Record<string, unknown>[] = [];
  const log: Log = openLog("info", { write: (line) => void said.push(JSON.parse(line)) });
  let store = open();
  let stopping = new AbortController();
  let running: Promise<void> = Promise.resolve();
  let current: Forwarder | null = null;
  const begin = (): void => {
    stopping = new AbortController();
    current = forwarder({ access, site, store, journal, clock, log });
    running = current.run(stopping.signal);
  };
  const end = async (): Promise<void> => {
    stopping.abort();
    await running;
  };
  return {
    ...{ journal, clock, begin, end },
    store: () => store,
    forwarder: () => current!,
    said: () => said,
    add: (samples, source = "GW-PR") => {
      for (let from = 0; from < samples.length; from += 4_000) {
        store.commit([incoming(samples.slice(from, from + 4_000), { source })]);
      }
    },
    restart: async () => {
      await end();
      store.close();
      store = open();
      begin();
    },
    arrived: async (withinMs = 60_000) => {
      const seen = (): boolean =>
        store.forwarding.behindCount() === 0 &&
        store.seriesNames().every((series) => store.forwarding.seenUntil(series) > (store.latest(series)?.tMs ?? 0));
      await eventually("all readings are there", seen, withinMs, 20);
    },
    remove: async () => {
      await end();
      store.close();
      folder.remove();
    },
  };
}
