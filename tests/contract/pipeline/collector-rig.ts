import { pino } from "pino";
import { messageRouter } from "../../../collector/notify/message-router.ts";
import { type Pipeline, pipeline } from "../../../collector/pipeline/pipeline.ts";
import { memoryBus } from "../../../collector/platform/bus.ts";
import type { Site } from "../../../collector/platform/settings/site.ts";
import { openSiteData } from "../../../collector/start.ts";
import type { DataFolder } from "../../../collector/store/embedded/open-data-folder.ts";
import { limitsEntry } from "../../../collector/store/entries.ts";
import type { EntryKind, StoredEntry } from "../../../spc/model/journal-entry.ts";
import type { LimitSet } from "../../../spc/model/limit-set.ts";
import type { Sample } from "../../../spc/model/sample.ts";
import { type ManualClock, manualClock } from "../../fakes/manual-clock.ts";
import { pressLimits } from "../../press-limits.ts";
import { temporaryFolder } from "../../temporary-folder.ts";
import { message, site as pressSite, startMs } from "./press-line.ts";

/** The real pipeline over a real data folder, driven by hand. */
export interface Rig {
  readonly clock: ManualClock;
  data(): DataFolder;
  commit(samples: readonly Sample[]): void;
  cut(): Promise<void>;
  tick(): void;
  line(): Pipeline;
  /** Lets seconds go by, with a look at the clock in each. */
  wait(seconds: number): Promise<void>;
  entries<K extends EntryKind>(kind: K): readonly Extract<StoredEntry, { kind: K }>[];
  /** What the pipeline said of decisions that do not fit. */
  readonly log: string[];
  /** Ends the process that never was, and begins again from what is on disk. */
  restart(): void;
  limits(characteristic: string, centre: number, revision: number): void;
  /** A person's done for the newest flag that is open, if there is one. */
  done(): void;
  close(): void;
}

export function collectorRig(site: Site = pressSite, { told = false }: { readonly told?: boolean } = {}): Rig {
  const folder = temporaryFolder();
  const clock = manualClock(startMs);
  const open = (): DataFolder => openSiteData(folder.path, site);
  let data = open();
  const begin = (): Pipeline =>
    pipeline({
      site,
      store: data.samples,
      journal: data.journal,
      clock,
      bus: memoryBus(),
      log: pino({}, { write: (text) => void log.push(text) }),
      ...(told ? { router: () => messageRouter(site, data.journal) } : {}),
    });
  const log: string[] = [];
  let line = begin();
  return {
    clock,
    log,
    data: () => data,
    commit: (samples) => data.samples.commit([message(samples, clock.nowMs())]),
    cut: () => line.drain(),
    tick: () => line.tick(),
    line: () => line,
    wait: async (seconds) => {
      for (let second = 0; second < seconds; second += 1) {
        clock.advance(1_000);
        await line.drain();
        line.tick();
      }
    },
    entries: <K extends EntryKind>(kind: K) =>
      data.journal.read({ kinds: [kind] }) as readonly Extract<StoredEntry, { kind: K }>[],
    restart: () => {
      data.close();
      data = open();
      line = begin();
    },
    limits: (characteristic, centre, revision) => {
      const set = around(characteristic, centre, revision);
      data.journal.append([limitsEntry(characteristic.split(":")[0]!, set)]);
    },
    done: () => {
      const open = openFlags(data.journal.read({ kinds: ["signal", "done"] })).at(-1);
      if (open === undefined) return;
      const body = { flag: open, by: "shift lead", atMs: clock.nowMs(), cause: "steam supply", note: "" };
      const station = open.split(":")[0]!;
      const id = `done/${open}`;
      data.journal.append([{ kind: "done", body, id, station, subject: open, atMs: body.atMs }]);
    },
    close: () => {
      data.close();
      folder.remove();
    },
  };
}

function openFlags(entries: readonly StoredEntry[]): readonly string[] {
  const open = new Set<string>();
  for (const entry of entries) {
    if (entry.kind === "signal") open.add(entry.body.signal.flag);
    else if (entry.kind === "done") open.delete(entry.body.flag);
  }
  return [...open];
}

/** Limits around another centre. */
function around(characteristic: string, centre: number, revision: number): LimitSet {
  const location = { centre, lower: centre - 0.03, upper: centre + 0.03, sigma: 0.01 };
  return pressLimits(characteristic, { location, revision, frozenAtMs: startMs });
}

/** What a replay must give again: everything but when it was found. */
export function found(entries: readonly StoredEntry[]): Readonly<Record<string, readonly unknown[]>> {
  const of = (kind: StoredEntry["kind"]): readonly unknown[] =>
    entries
      .filter((entry) => entry.kind === kind)
      .map((entry) => ({ id: entry.id, body: entry.kind === "signal" ? entry.body.signal : entry.body }))
      .sort((a, b) => (a.id < b.id ? -1 : 1));
  return { runs: of("run"), points: of("point"), signals: of("signal") };
}
