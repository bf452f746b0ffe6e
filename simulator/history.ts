import { dryers, oven, type PlantKey, pourStation, presses, tables } from "./plant-layout.ts";
import type { RecordedRun } from "./recorded-run.ts";
import { recordedRuns } from "./recorded-runs.ts";

interface Written {
  readonly stations: readonly string[];
  /** Of every so manyth run. */
  readonly every: number;
  readonly features: readonly string[];
}

/** What a station's people wrote down: what the demo charts. */
const written: readonly Written[] = [
  { stations: presses, every: 10, features: ["mold.plateau", "mold.rise", "mold.t_above"] },
  { stations: [oven], every: 1, features: ["oven.mean", "oven.max", "oven.spread"] },
  { stations: dryers, every: 1, features: ["dry.dw_end", "dry.rh_peak"] },
  { stations: tables, every: 5, features: ["vib.rms", "vib.crest", "vib.hf"] },
  { stations: [pourStation], every: 4, features: ["pour.T1", "pour.time"] },
];

/** Features that the people of a station wrote down. */
export function writtenFeatures(station: string): readonly string[] {
  return written.flatMap(({ stations, features }) => (stations.includes(station) ? features : []));
}

const historyHeader = "run,station,start,end,feature,value,unit,part";

/** The plant's spreadsheets for fromMs <= t < toMs: one line a feature, as `steadypour import-runs` reads them. */
export function* historyLines(key: PlantKey, fromMs: number, toMs: number): Generator<string> {
  yield historyHeader;
  for (const { stations, every, features } of written) {
    for (const station of stations) {
      for (const run of recordedRuns(key, station, fromMs, toMs, every)) yield* lines(run, features);
    }
  }
}

function* lines(
  { id, station, startMs, endMs, part, features }: RecordedRun,
  kept: readonly string[],
): Generator<string> {
  const [start, end] = [new Date(startMs).toISOString(), new Date(endMs).toISOString()];
  for (const { feature, value, unit } of features) {
    if (!kept.includes(feature)) continue;
    // Five digits are more than any of the instruments deserves.
    yield [id, station, start, end, feature, Number(value.toPrecision(5)), unit, part ?? ""].join(",");
  }
}
