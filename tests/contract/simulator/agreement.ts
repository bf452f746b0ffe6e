import { plant } from "../../../simulator/plant.ts";
import type { PlantKey, Source } from "../../../simulator/plant-layout.ts";
import { drawn, measuredAs, measuring } from "../../../simulator/runs/measuring.ts";
import type { TrueRun } from "../../../simulator/runs/true-run.ts";
import { runBooks } from "../../../simulator/runs/true-runs.ts";
import { moments } from "../../../spc/stats/moments.ts";
import { demoSite } from "../../demo-site.ts";
import { extractRuns } from "./extract-runs.ts";

/** One value of the pipeline beside the run model's. */
interface Beside {
  readonly ours: number;
  readonly truly: number;
  /** Charts are of one station and part: so is the spread that their limits come from. */
  readonly chart: string;
}

export interface Agreement {
  readonly feature: string;
  readonly n: number;
  /** Mean and standard deviation of pipeline less truth, stated and found. */
  readonly bias: readonly [stated: number, found: number];
  readonly sd: readonly [stated: number, found: number];
  /** Standard deviation of the feature itself on its chart. */
  readonly spread: number;
  /** What does not hold, in words; empty where the two depths agree. */
  readonly wrong: readonly string[];
}

export interface Compared {
  readonly runs: number;
  /** Runs that the run model does not know, and features that it says nothing of. */
  readonly unknown: readonly string[];
  readonly agreements: readonly Agreement[];
}

const dayMs = 86_400_000;

/** Readings of a gateway's stations through the product's own decoder, segmenters and features, beside the run model. */
export function compareDepths(key: PlantKey, source: Source, fromMs: number, toMs: number): Compared {
  const whole = plant(key, []);
  const stations = demoSite()
    .stations.filter((station) => station.source === source)
    .map(({ id }) => id);
  const books = runBooks(whole.model);
  const pairs = new Map<string, Beside[]>();
  const unknown = new Set<string>();
  const extracted = extractRuns(whole, source, stations, fromMs, toMs);
  for (const station of stations) {
    const truth = runsOf(books.get(station), fromMs, toMs);
    for (const { run, features } of extracted.filter((one) => one.run.station === station)) {
      const known = truth.get(run.id);
      // What was under way at the first reading has begun nobody knows when.
      if (known === undefined && run.startMs > fromMs + 4 * 3_600_000) unknown.add(run.id);
      if (known === undefined) continue;
      for (const [feature, ours] of Object.entries(features)) {
        if (Number.isNaN(ours)) continue;
        const told = known.features[feature];
        if (told === undefined) {
          unknown.add(`${station}:${feature}`);
          continue;
        }
        const line = measuredAs(station, feature);
        pairs.set(line, [...(pairs.get(line) ?? []), { ours, truly: told.value, chart: `${station}/${known.part}` }]);
      }
    }
  }
  const agreements = [...pairs].map(([feature, besides]) => agreementOf(feature, besides));
  return { runs: extracted.length, unknown: [...unknown], agreements };
}

function runsOf(
  book: ReturnType<typeof runBooks> extends ReadonlyMap<string, infer B> ? B | undefined : never,
  fromMs: number,
  toMs: number,
): Map<string, TrueRun> {
  const runs = new Map<string, TrueRun>();
  if (book === undefined) return runs;
  const { originMs, periodMs } = book.schedule;
  const last = Math.ceil((toMs - originMs) / periodMs) + 1;
  for (let number = Math.floor((fromMs - 7 * dayMs - originMs) / periodMs); number <= last; number += 1) {
    for (const run of book.of(number)) runs.set(run.id, run);
  }
  return runs;
}

function agreementOf(feature: string, besides: readonly Beside[]): Agreement {
  const [, statedBias, statedSd] = measuring[feature] as (typeof measuring)[string];
  const n = besides.length;
  const offs = besides.map(({ ours, truly }) => ours - truly);
  const found = n > 1 ? moments(offs) : { mean: offs[0] as number, sd: 0 };
  const spread = within(besides, ({ ours }) => ours);
  const told = Math.hypot(
    within(besides, ({ truly }) => truly),
    statedSd,
  );
  const wrong: string[] = [];
  // Chance moves a mean by so much four times in a hundred thousand.
  const chance = (4.1 * Math.max(found.sd, statedSd)) / Math.sqrt(n);
  if (Math.abs(found.mean - statedBias) > 0.1 * Math.max(spread, statedSd) + chance) {
    wrong.push(`means stand ${found.mean - statedBias} apart, stated ${statedBias}`);
  }
  const wide = 1.15 * (1 + 4.1 / Math.sqrt(2 * Math.max(2, n)));
  // Of three values nobody can say how they spread.
  const ratioOutside = (ratio: number): boolean => n > 3 && (ratio > wide || ratio < 1 / wide);
  if (spread > 0 && ratioOutside(told / spread))
    wrong.push(`the run model spreads by ${told}, the pipeline by ${spread}`);
  // An error that is lost in the feature's own spread need not be known to its last digit.
  const lost = Math.max(found.sd, statedSd) <= 0.15 * spread;
  if (!drawn.has(feature) && !lost && ratioOutside(statedSd > 0 ? found.sd / statedSd : Number.POSITIVE_INFINITY)) {
    wrong.push(`the error spreads by ${found.sd}, stated ${statedSd}`);
  }
  return { feature, n, bias: [statedBias, found.mean], sd: [statedSd, found.sd], spread, wrong };
}

/** Standard deviation on its own chart, all charts together. */
function within(besides: readonly Beside[], of: (one: Beside) => number): number {
  const charts = new Map<string, number[]>();
  for (const one of besides) charts.set(one.chart, [...(charts.get(one.chart) ?? []), of(one)]);
  let [sum, freedom] = [0, 0];
  for (const values of charts.values()) {
    if (values.length < 2) continue;
    const centre = moments(values).mean;
    sum += values.reduce((total, value) => total + (value - centre) ** 2, 0);
    freedom += values.length - 1;
  }
  return freedom === 0 ? 0 : Math.sqrt(sum / freedom);
}
