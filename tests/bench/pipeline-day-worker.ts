import { readFileSync } from "node:fs";
import { pino } from "pino";
import { baselineProposal, stationRuns } from "../../api/cli/baseline-proposal.ts";
import { characteristicsOf } from "../../api/cli/characteristics-of.ts";
import { siteDecoder } from "../../collector/decode/site-decoder.ts";
import { intake } from "../../collector/intake/intake.ts";
import { pipeline } from "../../collector/pipeline/pipeline.ts";
import { memoryBus } from "../../collector/platform/bus.ts";
import { loadSettings } from "../../collector/platform/settings/load.ts";
import type { RawMessage } from "../../collector/source/message-source.ts";
import { openSiteData } from "../../collector/start.ts";
import { limitsEntry } from "../../collector/store/entries.ts";
import { plant } from "../../simulator/plant.ts";
import { sources } from "../../simulator/plant-layout.ts";
import { type FlagTable, noFlags } from "../../spc/flags/flag.ts";
import { applyEntries } from "../../spc/flags/fold.ts";
import { manualClock } from "../fakes/manual-clock.ts";
import { temporaryFolder } from "../temporary-folder.ts";
import type { DaySaid } from "./pipeline-day.ts";

// Plays the plant through the product's own parts, a minute of it at a time, and times all but making the payloads.

const hours = Number(process.argv[2]);
const firstMs = Date.UTC(2026, 10, 24, 5);
const minuteMs = 60_000;
/** As gateways send while they keep up with the clock. */
const sendEveryMs = Number(process.argv[3] ?? 1_000);
/** Charts are judged from here on, by limits of the runs until then. */
const limitsAfterMs = 3 * 3_600_000;

const loaded = loadSettings(readFileSync("simulator/ostrimvale.yaml"));
if (!loaded.ok) throw new Error(JSON.stringify(loaded.mistakes));
const { site } = loaded;
const folder = temporaryFolder();
const data = openSiteData(folder.path, site);
const { samples: store, journal } = data;
const clock = manualClock(firstMs);
const bus = memoryBus();
const decoder = siteDecoder(site, { snapshotEveryMs: 5_000 });
const door = intake({
  ...{ decoder, store, bus, clock },
  report: (fault) => {
    if (fault !== null) throw fault;
  },
});
const line = pipeline({ site, store, journal, clock, bus, log: pino({ level: "silent" }) });
const works = plant({ seed: 7, firstMs }, []);

const parts: Record<string, number> = { intake: 0, pipeline: 0, flags: 0, sealing: 0 };
let [messages, readings, bytes, cpuSeconds] = [0, 0, 0, 0];
let [flags, foldedSeq]: [FlagTable, number] = [noFlags, 0];
const heapMb: number[] = [];
const turn = (): Promise<void> => new Promise((resolve) => setImmediate(resolve));

const counters = new Map<string, number>();
function nextSeq(source: string): number {
  const seq = counters.get(source) ?? 0;
  counters.set(source, seq + 1);
  return seq;
}

/** A minute's messages of all gateways second by second, as they lie on the wire. */
function payloads(minute: number): readonly RawMessage[] {
  const raw: RawMessage[] = [];
  for (let tMs = minute; tMs < minute + minuteMs; tMs += sendEveryMs) {
    for (const source of sources) {
      for (const { kind, items, body } of works.messages(source, tMs, tMs + sendEveryMs)) {
        const payload = Buffer.from(JSON.stringify({ v: 1, kind, source, seq: nextSeq(source), ...body }));
        readings += items;
        bytes += payload.length;
        const topic = `ostrimvale/${source}/${kind}`;
        raw.push({ topic, payload, receivedMs: tMs + sendEveryMs, retained: false, qos: 1 });
      }
    }
  }
  return raw;
}

async function timed(part: string, work: () => Promise<void>): Promise<void> {
  const [beganMs, before] = [performance.now(), process.cpuUsage()];
  await work();
  const { user, system } = process.cpuUsage(before);
  cpuSeconds += (user + system) / 1e6;
  parts[part] = (parts[part] ?? 0) + (performance.now() - beganMs) / 1000;
}

async function takeIn(raw: readonly RawMessage[]): Promise<void> {
  for (const message of raw) {
    door.handle(message, (error) => {
      if (error !== undefined) throw error;
    });
  }
  // The clock stands still meanwhile: what is held then goes by its own bounds, and what is left with the next minute.
  await turn();
}

function putLimits(): void {
  const window = { fromMs: 0, toMs: Number.MAX_SAFE_INTEGER, basis: "recommended", excluded: {} } as const;
  const runs = stationRuns(journal, window);
  for (const one of characteristicsOf(site)) {
    const proposal = baselineProposal(runs, one, window);
    if (!proposal.ok) continue;
    const signed = { proposedBy: "process engineer", agreedBy: "works manager", reason: "bench", engine: "bench" };
    const id = `${one.id}@1`;
    const effective = { effectiveFromMs: proposal.value.baseline.toMs, frozenAtMs: clock.nowMs() };
    journal.append([
      limitsEntry(one.station, {
        ...{ id, characteristic: one.id, revision: 1 },
        ...effective,
        ...signed,
        ...proposal.value,
      }),
    ]);
  }
}

const toMs = firstMs + hours * 3_600_000;
for (let tMs = firstMs; tMs < toMs; tMs += minuteMs) {
  const raw = payloads(tMs);
  messages += raw.length;
  clock.advance(minuteMs);
  await timed("intake", () => takeIn(raw));
  await timed("pipeline", async () => {
    await line.drain();
    line.tick();
  });
  await timed("flags", async () => {
    const news = journal.read({ afterSeq: foldedSeq });
    flags = applyEntries(flags, news);
    foldedSeq = news.at(-1)?.seq ?? foldedSeq;
  });
  await timed("sealing", async () => {
    while (store.sealSome()) await turn();
  });
  if (tMs - firstMs === limitsAfterMs) putLimits();
  if ((tMs + minuteMs - firstMs) % ((hours / 4) * 3_600_000) === 0) {
    globalThis.gc?.();
    heapMb.push(process.memoryUsage().heapUsed / 1e6);
  }
}
door.stop();
await line.drain();
const runs = journal.read({ kinds: ["run"] });
const points = journal.read({ kinds: ["point"] });
const said: DaySaid = {
  ...{ hours, messages, readings, bytes, cpuSeconds, parts, heapMb },
  wallSeconds: Object.values(parts).reduce((sum, seconds) => sum + seconds, 0),
  runs: runs.length,
  features: runs.reduce((sum, one) => sum + (one.kind === "run" ? one.body.features.length : 0), 0),
  points: points.length,
  judged: points.filter((one) => one.kind === "point" && one.body.limitSet !== null).length,
  signals: journal.read({ kinds: ["signal"] }).length,
  flags: flags.size,
  peakRssMb: process.resourceUsage().maxRSS / 1024,
};
data.close();
folder.remove();
// Without a parent it stands under a profiler.
if (process.send === undefined) console.log(said);
else process.send(said, () => process.disconnect());
