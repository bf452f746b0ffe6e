import { calendarOf } from "./calendar.ts";
import {
  dryers,
  furnaces,
  glueCells,
  ironPourStation,
  oven,
  type PlantKey,
  pourStation,
  presses,
  silos,
  tables,
} from "./plant-layout.ts";
import type { RecordedRun } from "./recorded-run.ts";
import { recordedRuns } from "./recorded-runs.ts";

interface Written {
  readonly stations: readonly string[];
  /** Runs that follow one another, so many working days back: neighbours that lean on each other are seen to. */
  readonly days: number;
  /** Rare ones go back further. */
  readonly rare?: { readonly features: readonly string[]; readonly days: number; readonly every?: number };
}

const laboratory = ["sand.fines", "sand.loi", "sand.gfn"];
const ofLadle = [
  ...["ladle.first", "ladle.slope", "ladle.first_minus_line", "ladle.dip", "ladle.preheat", "pour.pyro_minus_dip"],
];

/** What a station's people wrote down. */
const written: readonly Written[] = [
  // Bead wanders from fill to fill: two days do not show how far slices go with it.
  { stations: presses, days: 2, rare: { features: ["mold.weight.1", "mold.weight.2"], days: 20, every: 10 } },
  { stations: [oven, ...dryers, "BD-1", "BD-2", ...silos, "AG-1", "AG-2"], days: 60 },
  { stations: tables, days: 6 },
  { stations: [pourStation], days: 6 },
  { stations: [ironPourStation], days: 8, rare: { features: ofLadle, days: 40 } },
  { stations: ["PX-1", "PX-2", "HD-1", "WX-1", "SL-A", "SL-F", ...furnaces], days: 14 },
  { stations: ["SC-1"], days: 14, rare: { features: laboratory, days: 60 } },
  { stations: glueCells, days: 1.5, rare: { features: ["glue.mass"], days: 15 } },
  { stations: ["RD-1"], days: 2 },
  { stations: ["CW-1", "CO-A", "CO-F", "SK-A", "SK-F"], days: 8 },
  // A leak of two weeks ago was cast up to five weeks before, of patterns older still.
  { stations: ["IN-1"], days: 14 },
];
const dayMs = 86_400_000;
/** What the run model knows and nobody charts. */
const notCharted: readonly string[] = ["dry.water", "dip.wet_pickup"];

const historyHeader = "run,station,start,end,feature,value,unit,part";

/** The plant's spreadsheets for fromMs <= t < toMs: one line a feature, as `steadypour import-runs` reads them. */
export function* historyLines(key: PlantKey, fromMs: number, toMs: number): Generator<string> {
  yield historyHeader;
  const { later } = calendarOf(key);
  for (const { stations, days, rare } of written) {
    const sinceMs = Math.max(fromMs, later(toMs, -days * dayMs));
    const rareSinceMs = rare === undefined ? sinceMs : Math.max(fromMs, later(toMs, -rare.days * dayMs));
    for (const station of stations) {
      for (const run of recordedRuns(key, station, rareSinceMs, sinceMs, rare?.every)) {
        if (run.startMs < sinceMs) yield* lines(run, (feature) => rare?.features.includes(feature) === true);
      }
      const recent = recordedRuns(key, station, sinceMs, toMs);
      for (const run of recent) yield* lines(run, (feature) => !notCharted.includes(feature));
    }
  }
}

function* lines(
  { id, station, startMs, endMs, part, features }: RecordedRun,
  kept: (feature: string) => boolean,
): Generator<string> {
  const [start, end] = [new Date(startMs).toISOString(), new Date(endMs).toISOString()];
  for (const { feature, value, unit } of features) {
    if (!kept(feature)) continue;
    // Five digits are more than any of the instruments deserves.
    yield [id, station, start, end, feature, Number(value.toPrecision(5)), unit, part ?? ""].join(",");
  }
}
