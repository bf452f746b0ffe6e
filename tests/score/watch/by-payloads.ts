import { pino } from "pino";
import { siteDecoder } from "../../../collector/decode/site-decoder.ts";
import { intake } from "../../../collector/intake/intake.ts";
import { pipeline } from "../../../collector/pipeline/pipeline.ts";
import { memoryBus } from "../../../collector/platform/bus.ts";
import type { Site } from "../../../collector/platform/settings/site.ts";
import { openSiteData } from "../../../collector/start.ts";
import { limitsEntry } from "../../../collector/store/entries.ts";
import { disturbed, type Messages } from "../../../simulator/disturbances.ts";
import type { Fault } from "../../../simulator/faults.ts";
import { plant } from "../../../simulator/plant.ts";
import { type PlantKey, type Source, sources } from "../../../simulator/plant-layout.ts";
import type { JournalEntry, StoredEntry } from "../../../spc/model/journal-entry.ts";
import type { LimitSet } from "../../../spc/model/limit-set.ts";
import { manualClock } from "../../fakes/manual-clock.ts";
import { temporaryFolder } from "../../temporary-folder.ts";
import { shiftLead } from "./shift-lead.ts";

/**
 * Gateways' messages are handed over in such pieces, and the product looks twice for each: seldomer, and it would take itself
 * to have stood still. It then takes longer by the clock than a real one to believe that a source is silent, never less.
 */
const windowMs = 10_000;
const snapshotEveryMs = 5_000;

/** What stayed at the door. */
export interface Door {
  readonly messages: number;
  readonly quarantined: number;
}

export interface WatchedPayloads {
  readonly entries: readonly JournalEntry[];
  readonly door: Door;
}

/**
 * The product from payloads to flags, in one process and by a clock that is moved by hand: its own decoder, intake, store,
 * segmenters, features, charts, rules and flags. Only the broker between is left out.
 */
export async function watchPayloads(
  site: Site,
  sets: ReadonlyMap<string, LimitSet>,
  key: PlantKey,
  faults: readonly Fault[],
  toMs: number,
): Promise<WatchedPayloads> {
  const folder = temporaryFolder();
  const data = openSiteData(folder.path, site);
  try {
    const clock = manualClock(key.firstMs);
    const bus = memoryBus();
    const stations = new Map(site.stations.map((station) => [station.id, station]));
    const stationOf = (set: LimitSet): string => set.characteristic.split(":")[0] as string;
    data.journal.append(
      [...sets.values()].filter((set) => stations.has(stationOf(set))).map((set) => limitsEntry(stationOf(set), set)),
    );
    const complaints: string[] = [];
    const log = pino({ level: "error" }, { write: (text) => void complaints.push(text) });
    const door = intake({
      ...{ decoder: siteDecoder(site, { snapshotEveryMs }), store: data.samples, bus, clock },
      report: (fault) => {
        if (fault !== null) throw fault;
      },
    });
    const line = pipeline({ site, store: data.samples, journal: data.journal, clock, bus, log });
    const messages = messagesOf(key, faults);
    const seq = new Map<Source, number>(sources.map((source) => [source, 0]));
    const lead = shiftLead();
    let heardSeq = data.journal.lastSeq();
    let count = 0;
    for (let t = key.firstMs; t < toMs; t += windowMs) {
      const until = Math.min(toMs, t + windowMs);
      clock.advance((until - t) / 2);
      line.tick();
      for (const source of sources) {
        for (const { kind, body, lost } of messages(source, t, until)) {
          const number = seq.get(source) as number;
          seq.set(source, number + 1);
          if (lost === true) continue;
          count += 1;
          const payload = Buffer.from(JSON.stringify({ v: 1, kind, source, seq: number, ...body }));
          const topic = `ostrimvale/${source}/${kind}`;
          door.handle({ topic, payload, receivedMs: clock.nowMs(), retained: false, qos: 1 }, (error) => {
            if (error !== undefined) throw error;
          });
        }
      }
      // What was handed over is committed within some milliseconds; nothing is cut before.
      while (door.status().waiting > 0) {
        clock.advance(2);
        await new Promise((resolve) => setImmediate(resolve));
      }
      clock.advance(until - clock.nowMs());
      await line.drain();
      line.tick();
      const news = data.journal.read({ kinds: ["signal", "instrument", "silence", "common"], afterSeq: heardSeq });
      heardSeq = data.journal.lastSeq();
      lead.hear(news);
      data.journal.append(lead.doneBy(until));
    }
    door.stop();
    await line.drain();
    if (complaints.length > 0) throw new Error(complaints[0]);
    const counts = data.samples.counts();
    return {
      entries: [...data.journal.read({})].map(withoutSeq),
      door: { messages: count, quarantined: counts.quarantined },
    };
  } finally {
    data.close();
    folder.remove();
  }
}

function messagesOf(key: PlantKey, faults: readonly Fault[]): Messages {
  const works = plant(key, faults);
  // Outages and clocks that are off are of the way to the broker; the rest of it is left undisturbed.
  const onTheWay = faults.some(({ name }) => name === "outage" || name === "clock-skew");
  return onTheWay ? disturbed(key, works.model.faults, false, works.messages) : works.messages;
}

function withoutSeq({ seq: _, ...entry }: StoredEntry): JournalEntry {
  return entry as JournalEntry;
}
