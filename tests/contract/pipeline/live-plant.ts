import { baselineProposal } from "../../../api/cli/baseline-proposal.ts";
import { characteristicsOf } from "../../../api/cli/characteristics-of.ts";
import type { Site } from "../../../collector/platform/settings/site.ts";
import { limitsEntry } from "../../../collector/store/entries.ts";
import { readFault } from "../../../simulator/fault-words.ts";
import { plant } from "../../../simulator/plant.ts";
import type { Source } from "../../../simulator/plant-layout.ts";
import { recordedRuns } from "../../../simulator/recorded-runs.ts";
import { type FlagState, noFlags } from "../../../spc/flags/flag.ts";
import { applyEntries } from "../../../spc/flags/fold.ts";
import type { RunRecord } from "../../../spc/model/journal-entry.ts";
import type { Sample } from "../../../spc/model/sample.ts";
import { demoSite } from "../../demo-site.ts";
import { decodeAll } from "../simulator/extract-runs.ts";
import { collectorRig, type Rig } from "./collector-rig.ts";
import { startMs } from "./press-line.ts";

const minuteMs = 60_000;
const key = { seed: 3, firstMs: startMs };
const whole = demoSite();

/** Some stations of the invented plant, with what one gateway sends of them. */
export interface LivePart {
  readonly gateway: Source;
  readonly stations: readonly string[];
  /** Days of the past that limits come from. */
  readonly pastDays: number;
  /** How often the gateway's messages are handed over, min. */
  readonly everyMinutes: number;
}

export interface Lived {
  readonly rig: Rig;
  readonly flags: readonly FlagState[];
}

/** So many minutes of the plant's readings with that fault, from the first reading on, under limits of a sound past. */
export async function live(part: LivePart, words: string, minutes: number): Promise<Lived> {
  const read = readFault(words, startMs);
  if (!read.ok) throw new Error(read.mistake);
  const site: Site = { ...whole, stations: whole.stations.filter(({ id }) => part.stations.includes(id)) };
  const rig = collectorRig(site, { told: true });
  freeze(rig, site, part);
  const series = decodeAll(whole, plant(key, [read.fault]), part.gateway, startMs, startMs + minutes * minuteMs);
  const samples = [...series]
    .flatMap(([name, all]) => (part.stations.includes(name.split("/")[0] as string) ? all : []))
    .sort((a, b) => a.tMs - b.tMs);
  const step = part.everyMinutes;
  for (let from = 0; from < minutes; from += step) await send(rig, samples, startMs + from * minuteMs, step * minuteMs);
  await rig.wait(10);
  return { rig, flags: [...applyEntries(noFlags, rig.data().journal.read({})).values()] };
}

/** Limits as the demo's: from what the site wrote down of a past without a fault. */
function freeze(rig: Rig, site: Site, { stations, pastDays }: LivePart): void {
  const [fromMs, toMs] = [startMs - pastDays * 86_400_000, startMs];
  const past = new Map(stations.map((one) => [one, recordedRuns(key, one, fromMs, toMs).map(asRecord)]));
  for (const characteristic of characteristicsOf(site)) {
    const window = { fromMs, toMs, basis: "recommended" as const, excluded: {} };
    const proposal = baselineProposal((station) => past.get(station) ?? [], characteristic, window);
    // What never varies has no limits; a specification may rule it.
    if (!proposal.ok) continue;
    const { id, station } = characteristic;
    const signed = { proposedBy: "one", agreedBy: "another", reason: "no fault", frozenAtMs: startMs, engine: "test" };
    const set = { id: `${id}@1`, characteristic: id, revision: 1, effectiveFromMs: toMs, ...proposal.value, ...signed };
    rig.data().journal.append([limitsEntry(station, set)]);
  }
}

function asRecord({
  id,
  station,
  startMs: from,
  endMs,
  part,
  features,
}: ReturnType<typeof recordedRuns>[number]): RunRecord {
  const context = part === null ? {} : { part };
  const run = { id, station, startMs: from, endMs, closedBy: "imported" as const, segments: [], context };
  return { run, imported: true, features: features.map((one) => ({ ...one, version: 0 })) };
}

async function send(rig: Rig, samples: readonly Sample[], fromMs: number, lastsMs: number): Promise<void> {
  rig.commit(samples.filter(({ tMs }) => fromMs <= tMs && tMs < fromMs + lastsMs));
  rig.clock.advance(fromMs + lastsMs - rig.clock.nowMs());
  await rig.cut();
  // Messages of several stations wait for what they have in common.
  await rig.wait(0);
  rig.tick();
}
