import { plant } from "../../simulator/plant.ts";
import { sources } from "../../simulator/plant-layout.ts";
import { type FlagTable, noFlags } from "../../spc/flags/flag.ts";
import { applyEntries } from "../../spc/flags/fold.ts";
import { payloadsOf, playedPlant } from "../played-plant.ts";
import type { DaySaid } from "./pipeline-day.ts";

// Plays the plant through the product's own parts, a minute of it at a time, and times all but making the payloads.

const hours = Number(process.argv[2]);
const firstMs = Date.UTC(2026, 10, 24, 5);
const minuteMs = 60_000;
/** As gateways send while they keep up with the clock. */
const sendEveryMs = 1_000;
/** Charts are judged from here on, by limits of the runs until then. */
const limitsAfterMs = 3 * 3_600_000;

const played = playedPlant(firstMs);
const { data, clock, line } = played;
const { samples: store, journal } = data;
const payloads = payloadsOf(plant({ seed: 7, firstMs }, []), sources, sendEveryMs);

const parts: Record<string, number> = { intake: 0, pipeline: 0, flags: 0, sealing: 0 };
let [messages, bytes, cpuSeconds] = [0, 0, 0];
let [flags, foldedSeq]: [FlagTable, number] = [noFlags, 0];
const heapMb: number[] = [];
const turn = (): Promise<void> => new Promise((resolve) => setImmediate(resolve));

async function timed(part: string, work: () => Promise<void>): Promise<void> {
  const [beganMs, before] = [performance.now(), process.cpuUsage()];
  await work();
  const { user, system } = process.cpuUsage(before);
  cpuSeconds += (user + system) / 1e6;
  parts[part] = (parts[part] ?? 0) + (performance.now() - beganMs) / 1000;
}

const toMs = firstMs + hours * 3_600_000;
for (let tMs = firstMs; tMs < toMs; tMs += minuteMs) {
  const raw = payloads(tMs, tMs + minuteMs);
  messages += raw.length;
  bytes += raw.reduce((sum, { payload }) => sum + payload.length, 0);
  clock.advance(minuteMs);
  await timed("intake", () => played.takeIn(raw));
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
  if (tMs - firstMs === limitsAfterMs) played.putLimits();
  if ((tMs + minuteMs - firstMs) % ((hours / 4) * 3_600_000) === 0) {
    globalThis.gc?.();
    heapMb.push(process.memoryUsage().heapUsed / 1e6);
  }
}
await timed("pipeline", played.finish);
const runs = journal.read({ kinds: ["run"] });
const points = journal.read({ kinds: ["point"] });
const said: DaySaid = {
  ...{ hours, messages, readings: store.counts().received, bytes, cpuSeconds, parts, heapMb },
  wallSeconds: Object.values(parts).reduce((sum, seconds) => sum + seconds, 0),
  runs: runs.length,
  features: runs.reduce((sum, one) => sum + (one.kind === "run" ? one.body.features.length : 0), 0),
  points: points.length,
  judged: points.filter((one) => one.kind === "point" && one.body.limitSet !== null).length,
  signals: journal.read({ kinds: ["signal"] }).length,
  flags: flags.size,
  peakRssMb: process.resourceUsage().maxRSS / 1024,
};
played.close();
// Without a parent it stands under a profiler.
if (process.send === undefined) console.log(said);
else process.send(said, () => process.disconnect());
