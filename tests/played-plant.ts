import { pino } from "pino";
import { baselineProposal, stationRuns } from "../api/cli/baseline-proposal.ts";
import { characteristicsOf } from "../api/cli/characteristics-of.ts";
import { siteDecoder } from "../collector/decode/site-decoder.ts";
import { intake } from "../collector/intake/intake.ts";
import { type Pipeline, pipeline } from "../collector/pipeline/pipeline.ts";
import { memoryBus } from "../collector/platform/bus.ts";
import type { Site } from "../collector/platform/settings/site.ts";
import type { RawMessage } from "../collector/source/message-source.ts";
import { openSiteData } from "../collector/start.ts";
import type { DataFolder } from "../collector/store/embedded/open-data-folder.ts";
import { limitsEntry } from "../collector/store/entries.ts";
import type { Plant } from "../simulator/plant.ts";
import type { Source } from "../simulator/plant-layout.ts";
import { demoSite } from "./demo-site.ts";
import { type ManualClock, manualClock } from "./fakes/manual-clock.ts";
import { temporaryFolder } from "./temporary-folder.ts";

/** The product's own parts from payload to journal, over a real data folder, driven by hand. */
export interface PlayedPlant {
  readonly site: Site;
  readonly data: DataFolder;
  readonly clock: ManualClock;
  readonly line: Pipeline;
  /** Takes messages in as they lie on the wire, and puts them on disk. */
  takeIn(raw: readonly RawMessage[]): Promise<void>;
  /** Takes no more, cuts what is complete. */
  finish(): Promise<void>;
  /** Puts limits in force that the journal's runs give, of these stations or of all. */
  putLimits(stations?: readonly string[]): void;
  close(): void;
}

export function playedPlant(firstMs: number, site: Site = demoSite()): PlayedPlant {
  const folder = temporaryFolder();
  const data = openSiteData(folder.path, site);
  const { samples: store, journal } = data;
  const clock = manualClock(firstMs);
  const bus = memoryBus();
  const decoder = siteDecoder(site, { snapshotEveryMs: 5_000 });
  const report = (fault: Error | null): void => {
    if (fault !== null) throw fault;
  };
  const door = intake({ decoder, store, bus, clock, report });
  const line = pipeline({ site, store, journal, clock, bus, log: pino({ level: "silent" }) });
  return {
    ...{ site, data, clock, line },
    takeIn: async (raw) => {
      for (const message of raw) {
        door.handle(message, (error) => {
          if (error !== undefined) throw error;
        });
      }
      // The clock stands still meanwhile: what is held goes by its own bounds, or in the next turn of the event loop.
      await new Promise((resolve) => setImmediate(resolve));
    },
    finish: async () => {
      door.stop();
      await line.drain();
    },
    putLimits: (stations) => {
      const window = { fromMs: 0, toMs: Number.MAX_SAFE_INTEGER, basis: "recommended", excluded: {} } as const;
      const runs = stationRuns(journal, window);
      for (const one of characteristicsOf(site)) {
        if (stations?.includes(one.station) === false) continue;
        const proposal = baselineProposal(runs, one, window);
        if (!proposal.ok) continue;
        const { baseline } = proposal.value;
        const signed = { proposedBy: "process engineer", agreedBy: "works manager", reason: "test", engine: "test" };
        const named = { id: `${one.id}@1`, characteristic: one.id, revision: 1 };
        const times = { effectiveFromMs: baseline.toMs, frozenAtMs: clock.nowMs() };
        journal.append([limitsEntry(one.station, { ...named, ...times, ...signed, ...proposal.value })]);
      }
    },
    close: () => {
      data.close();
      folder.remove();
    },
  };
}

/** Makes what gateways send, as it lies on the wire: a message at the end of each step of time. */
export function payloadsOf(
  works: Plant,
  sources: readonly Source[],
  stepMs: number,
): (fromMs: number, toMs: number) => readonly RawMessage[] {
  const counters = new Map<Source, number>();
  return (fromMs, toMs) => {
    const raw: RawMessage[] = [];
    for (let tMs = fromMs; tMs < toMs; tMs += stepMs) {
      for (const source of sources) {
        for (const { kind, body } of works.messages(source, tMs, tMs + stepMs)) {
          const seq = counters.get(source) ?? 0;
          counters.set(source, seq + 1);
          const payload = Buffer.from(JSON.stringify({ v: 1, kind, source, seq, ...body }));
          const topic = `ostrimvale/${source}/${kind}`;
          raw.push({ topic, payload, receivedMs: tMs + stepMs, retained: false, qos: 1 });
        }
      }
    }
    return raw;
  };
}
