import { seriesCatalogue } from "../../../collector/decode/catalogue.ts";
import { payloadV1 } from "../../../collector/decode/payload-v1.ts";
import { cuttingSeries, ofRole, spacingInRun } from "../../../collector/pipeline/role-series.ts";
import { stationCut } from "../../../collector/pipeline/station-cut.ts";
import type { Site, Station } from "../../../collector/platform/settings/site.ts";
import type { Message } from "../../../simulator/messages.ts";
import type { Plant } from "../../../simulator/plant.ts";
import type { Source } from "../../../simulator/plant-layout.ts";
import { featureCatalogue } from "../../../spc/features/catalogue.ts";
import type { Run, RunInside, RunTrace } from "../../../spc/model/run.ts";
import type { Sample } from "../../../spc/model/sample.ts";
import { demoSite } from "../../demo-site.ts";

/** How far back what is lent was taken: an analysis of the same alloy, a cup at the time of the dip. */
const reachMs: Partial<Readonly<Record<Source, number>>> = { "GW-FU": 5 * 3_600_000, "GW-SL": 22 * 3_600_000 };

/** One run as the product sees it, with its features; a refused feature is NaN here, so that no test can pass on it. */
export interface ExtractedRun {
  readonly run: Run;
  readonly features: Readonly<Record<string, number>>;
  readonly refusals: readonly string[];
}

/** Sends a stretch of the plant's life through the product's own decoder, segmenters and features. */
export function extractRuns(
  plant: Plant,
  source: Source,
  stations: readonly string[],
  fromMs: number,
  toMs: number,
): ExtractedRun[] {
  const site = demoSite();
  const bySeries = decodeAll(site, plant, source, fromMs, toMs);
  const borrowed = site.stations
    .filter(({ id }) => stations.includes(id))
    .flatMap((one) => Object.values(one.borrowed).flatMap(({ from }) => Object.values(from)));
  for (const lender of new Set(borrowed.map((one) => one.source as Source))) {
    const lent = decodeAll(site, plant, lender, fromMs - reachMs[lender]!, toMs);
    for (const { id } of borrowed) if (lent.has(id)) bySeries.set(id, lent.get(id)!);
  }
  return site.stations.filter((s) => stations.includes(s.id)).flatMap((s) => runsOf(site, s, bySeries));
}

/** A message as it lies on the wire. */
function onTheWire(source: Source, message: Message, seq: number): Uint8Array {
  return Buffer.from(JSON.stringify({ v: 1, kind: message.kind, source, seq, ...message.body }));
}

/** What a gateway sends, through the product's own decoder: samples in time order, by series. */
export function decodeAll(
  site: Site,
  plant: Plant,
  source: Source,
  fromMs: number,
  toMs: number,
): Map<string, Sample[]> {
  const decoder = payloadV1({
    catalogue: seriesCatalogue(site),
    sourcesOf: () => [source],
    snapshotEveryMs: 3_600_000,
  });
  const bySeries = new Map<string, Sample[]>();
  let seq = 0;
  for (let t = fromMs; t < toMs; t += 20_000) {
    for (const message of plant.messages(source, t, t + 20_000)) {
      const payload = onTheWire(source, message, seq);
      seq += 1;
      const topic = `ostrimvale/${source}/${message.kind}`;
      const { samples, rejections } = decoder.decode({ topic, payload, receivedMs: toMs, retained: false, qos: 1 });
      if (rejections.length > 0) throw new Error(JSON.stringify(rejections.slice(0, 3)));
      for (const sample of samples) {
        const known = bySeries.get(sample.series);
        if (known === undefined) bySeries.set(sample.series, [sample]);
        else known.push(sample);
      }
    }
  }
  return bySeries;
}

function runsOf(site: Site, station: Station, bySeries: ReadonlyMap<string, Sample[]>): ExtractedRun[] {
  const samples = cuttingSeries(station)
    .flatMap(({ role, series }, rank) => (bySeries.get(series) ?? []).map((sample) => ({ ...sample, role, rank })))
    .sort((a, b) => a.tMs - b.tMs || a.rank - b.rank);
  const runs: Run[] = [];
  const cut = stationCut(station);
  cut.advance(cut.initial, samples, (run) => runs.push(run));
  const done: ExtractedRun[] = [];
  for (const run of runs) done.push(extracted(site, station, bySeries, run, insideOf(run, done)));
  return done;
}

/** Runs of the first kind that closed inside one of a further kind. */
function insideOf(around: Run, done: readonly ExtractedRun[]): readonly RunInside[] {
  if (around.kind === undefined) return [];
  return done
    .filter(({ run }) => run.kind === undefined && run.startMs >= around.startMs && run.endMs <= around.endMs)
    .map(({ run, features }) => ({
      run,
      features: Object.entries(features).map(([feature, value]) => ({
        ...{ feature, version: 1, unit: "1", value: Number.isNaN(value) ? null : value },
      })),
    }));
}

function extracted(
  site: Site,
  station: Station,
  bySeries: ReadonlyMap<string, Sample[]>,
  run: Run,
  inside: readonly RunInside[],
): ExtractedRun {
  const features: Record<string, number> = {};
  const refusals: string[] = [];
  for (const { feature, settings, runKind, byHand } of station.plans) {
    if (runKind !== (run.kind ?? null) || byHand !== null) continue;
    const extractor = (featureCatalogue[feature] as (typeof featureCatalogue)[string])(settings);
    const samples: Record<string, Sample[]> = {};
    const everyMs: Record<string, number> = {};
    const read = (role: string, fromMs: number, toMs: number): Sample[] =>
      between(bySeries.get(ofRole(station, role, run.context).series) ?? [], fromMs, toMs);
    for (const role of extractor.roles) {
      samples[role] = read(role, run.startMs, run.endMs);
      const spacing = spacingInRun(station, role, run.context);
      if (spacing !== null) everyMs[role] = spacing;
    }
    const before = Object.fromEntries(
      Object.entries(extractor.lookBackMs ?? {}).map(([role, ms]) => [role, read(role, run.startMs - ms, run.startMs)]),
    );
    const trace: RunTrace = { run, samples, everyMs, ambientPressureHpa: site.ambientPressureHpa, before, inside };
    const outcome = extractor.extract(trace);
    features[feature] = outcome.ok ? outcome.value : Number.NaN;
    if (!outcome.ok) refusals.push(`${run.id} ${feature}: ${outcome.refusal.code}`);
  }
  return { run, features, refusals };
}

/** Samples in fromMs <= t < toMs out of a list in time order. */
function between(samples: readonly Sample[], fromMs: number, toMs: number): Sample[] {
  const first = (tMs: number): number => {
    let [low, high] = [0, samples.length];
    while (low < high) {
      const middle = (low + high) >> 1;
      if ((samples[middle] as Sample).tMs < tMs) low = middle + 1;
      else high = middle;
    }
    return low;
  };
  return samples.slice(first(fromMs), first(toMs));
}
