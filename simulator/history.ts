import { dryers, oven, type PlantKey, pourStation, presses, tables } from "./plant-layout.ts";
import type { RecordedRun } from "./recorded-run.ts";
import { recordedRuns } from "./recorded-runs.ts";

/** Which of a station's runs its people wrote down: every so manyth. */
const written: readonly { readonly stations: readonly string[]; readonly every: number }[] = [
  { stations: presses, every: 10 },
  { stations: [oven], every: 1 },
  { stations: dryers, every: 1 },
  { stations: tables, every: 5 },
  { stations: [pourStation], every: 4 },
];

const historyHeader = "run,station,start,end,feature,value,unit,part";

/** The plant's spreadsheets for fromMs <= t < toMs: one line a feature, as `steadypour import-runs` reads them. */
export function* historyLines(key: PlantKey, fromMs: number, toMs: number): Generator<string> {
  yield historyHeader;
  for (const { stations, every } of written) {
    for (const station of stations) {
      for (const run of recordedRuns(key, station, fromMs, toMs, every)) yield* lines(run);
    }
  }
}

function* lines({ id, station, startMs, endMs, part, features }: RecordedRun): Generator<string> {
  const [start, end] = [new Date(startMs).toISOString(), new Date(endMs).toISOString()];
  for (const { feature, value, unit } of features) {
    // Five digits are more than any of the instruments deserves.
    yield [id, station, start, end, feature, Number(value.toPrecision(5)), unit, part ?? ""].join(",");
  }
}
