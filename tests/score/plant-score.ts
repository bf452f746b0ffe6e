import type { Fault } from "../../simulator/faults.ts";
import type { PlantKey } from "../../simulator/plant-layout.ts";
import { thirtyDayFaults } from "../../simulator/script-30-day.ts";
import type { JournalEntry, RunRecord } from "../../spc/model/journal-entry.ts";
import { demoSite } from "../demo-site.ts";
import { type Borders, bordersOf, type FeatureError, featureErrors } from "./compare/against-truth.ts";
import type { ChanceRow } from "./compare/chance.ts";
import { chanceRows } from "./compare/chance-rows.ts";
import { type FalseFlags, falseFlags } from "./compare/false-flags.ts";
import { type Compared, type FaultRow, faultRows } from "./compare/fault-rows.ts";
import { type Links, linksOf } from "./compare/links.ts";
import { type LawSums, lawOf, pooledSums } from "./compare/process-laws.ts";
import { type Injected, kindsAt, randomFaults } from "./plan/random-faults.ts";
import { type Door, watchPayloads } from "./watch/by-payloads.ts";
import { watchRuns } from "./watch/by-runs.ts";
import { faultFree } from "./watch/fault-free.ts";
import { modelRuns } from "./watch/model-runs.ts";
import { limitsOfPast } from "./watch/past.ts";
import { trueRuns } from "./watch/true-runs.ts";

export interface Asked {
  readonly seed: number;
  readonly days: number;
  readonly faults: "random" | "none" | "30-day";
  readonly depth: "full" | "runs";
}

/** All that one plant gave: kept by seed, and pooled. */
export interface PlantScore extends Asked {
  readonly seconds: number;
  readonly faultRows: readonly FaultRow[];
  readonly chance: readonly ChanceRow[];
  readonly laws: Readonly<Record<string, LawSums>>;
  /** Of the plant without faults. */
  readonly falseFlags: readonly FalseFlags[];
  /** Of the plant without faults, beside what truly was. */
  readonly features: readonly FeatureError[];
  /** Null at depth runs, where nothing is cut. */
  readonly borders: Borders | null;
  readonly links: Links | null;
  readonly door: Door | null;
}

const dayMs = 86_400_000;
/** A Tuesday in winter, in no shift's middle. */
const firstMs = Date.UTC(2026, 10, 24, 5);

export async function plantScore(asked: Asked): Promise<PlantScore> {
  const began = performance.now();
  const key: PlantKey = { seed: asked.seed, firstMs };
  const endMs = firstMs + asked.days * dayMs;
  const site = demoSite();
  const sets = limitsOfPast(site, key);
  const { means, series, sums } = faultFree(site, key, endMs + dayMs);
  const laws = Object.fromEntries([...sums].map(([law, all]) => [law, pooledSums(all)]));
  const injected = injectedOf(asked, key, endMs);
  const faults = injected.map(({ fault }) => fault);
  const trueTwin = modelRuns(site, key, [], firstMs, endMs);
  const trueFaulty = faults.length === 0 ? trueTwin : modelRuns(site, key, faults, firstMs, endMs);
  const full = asked.depth === "full";
  const watched = async (own: readonly Fault[], runs: readonly RunRecord[]): Promise<Watched> =>
    full ? watchPayloads(site, sets, key, own, endMs) : { entries: watchRuns(site, sets, runs), door: null };
  const twin = await watched([], trueTwin);
  const faulty = faults.length === 0 ? twin : await watched(faults, trueFaulty);
  const told = twin.entries.flatMap((entry) => (entry.kind === "run" ? [entry.body] : []));
  const truth = trueRuns(key, [], firstMs, endMs);
  const compared: Compared = {
    ...{ site, sets, faulty: faulty.entries, twin: twin.entries, trueFaulty, trueTwin, means, endMs },
    laws: new Map(Object.entries(laws).map(([law, all]) => [law, lawOf(all)])),
  };
  return {
    ...asked,
    seconds: (performance.now() - began) / 1000,
    faultRows: faultRows(asked.seed, injected, compared),
    chance: chanceRows(asked.seed, site, sets, { means, series }, twin.entries),
    laws,
    falseFlags: falseFlags(twin.entries),
    features: featureErrors(site, told, truth),
    borders: full ? bordersOf(told, truth, firstMs + edgeMs, endMs - edgeMs) : null,
    links: full ? linksOf(told, truth) : null,
    door: faulty.door,
  };
}

/** Runs at the ends of the score are cut short there. */
const edgeMs = 5 * 60_000;

interface Watched {
  readonly entries: readonly JournalEntry[];
  readonly door: Door | null;
}

function injectedOf({ faults, depth }: Asked, key: PlantKey, endMs: number): Injected[] {
  if (faults === "none") return [];
  if (faults === "random") return randomFaults(key, endMs, depth);
  return thirtyDayFaults(key).flatMap((fault): Injected[] => {
    const sized = kindsAt(depth).find(({ name, places }) => name === fault.name && places.includes(fault.station));
    if (sized === undefined || fault.fromMs >= endMs) return [];
    const times = sized.matters === null ? null : (fault.size ?? 1) / sized.matters;
    return [{ fault, fromMs: fault.fromMs, toMs: Math.min(fault.toMs, endMs), times, sized }];
  });
}
