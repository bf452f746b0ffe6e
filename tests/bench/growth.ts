import { temporaryFolder } from "../temporary-folder.ts";
import { bare, batches, kept } from "./batch100-sealed.ts";
import type { Bench } from "./bench.ts";
import { type SensorKind, sensorKinds } from "./plant-series.ts";
import { type SeriesFile, sealedFile } from "./sealed-series.ts";
import { trendOfFile } from "./trend-year.ts";

const seriesCounts = [10, 100, 1_000] as const;
/** So that each series has blocks to seal, and few series have enough rows to be timed. */
const leastRows = { ofOne: 4_000, inAll: 400_000 } as const;
const fromMs = Date.UTC(2025, 0, 1);
const dayMs = 86_400_000;
/** Nothing compresses these, so a file grows fast: eight bytes a reading. */
const noise: SensorKind = { everyMs: 1_000, jitterMs: 0, digits: 15, mean: 0.5, noise: 0.1, drift: 0.01 };
/** The last makes a gigabyte, which takes some minutes. */
const sizes = [1_400_000, 14_000_000, 140_000_000] as const;

/**
 * How insertion grows with the number of series and questions with the size of the file. Files up to a gigabyte are
 * measured; what the notes say of larger ones is the last decade's growth carried on, and says so.
 */
export const growth: Bench = {
  name: "growth",
  run: async (note) => {
    const rates = seriesCounts.map((count) => {
      const rowsASeries = Math.max(leastRows.ofOne, leastRows.inAll / count);
      const messages = batches(sensorKinds.oven, count, rowsASeries);
      const rows = count * rowsASeries;
      const [own, plain] = [kept(messages, true, () => {}), bare(messages)];
      const rate = (1000 * rows) / own;
      note(`${count} series: ${Math.round(rate)} rows/s with sealing, ${(plain / own).toFixed(2)} of bare inserts`);
      return rate;
    });
    const measured = sizes.map((count) => {
      const folder = temporaryFolder();
      try {
        const file = sealedFile(folder.path, noise, fromMs, count);
        const took = questions(file, count);
        file.db.close();
        note(`${(file.bytes / 1e6).toFixed(0)} MB: ${inWords(took)}`);
        return { bytes: file.bytes, took };
      } finally {
        folder.remove();
      }
    });
    const [small, large] = [measured.at(-2)!, measured.at(-1)!];
    const decades = Math.log10(large.bytes / small.bytes);
    for (const gigabytes of [10, 100]) {
      const further = Math.log10((gigabytes * 1e9) / large.bytes) / decades;
      // No question becomes quicker in a larger file, or reads more than all of it: where it seems so it is chance.
      const most = large.bytes / small.bytes;
      const took = large.took.map(({ name, ms }, i) => {
        const step = Math.min(Math.max(ms / small.took[i]!.ms, 1), most);
        return { name, ms: ms * step ** further };
      });
      note(`${gigabytes} GB, not measured but carried on from the last two: ${inWords(took)}`);
    }
    const [ours, baseline] = [rates.at(-1)!, rates[0]!];
    return { name: "growth", ours, baseline, unit: "rows/s", ratio: ours / baseline, better: "higher", ask: null };
  },
};

interface Took {
  readonly name: string;
  readonly ms: number;
}

function questions(file: SeriesFile, count: number): readonly Took[] {
  const toMs = fromMs + count * noise.everyMs;
  const middle = fromMs + Math.floor((toMs - fromMs) / 2 / dayMs) * dayMs;
  const heads = (from: number, to: number): unknown => trendOfFile(file, "heads", from, to, 2_000);
  return [
    { name: "a day", ms: bestMs(() => heads(middle, middle + dayMs)) },
    { name: "a week", ms: bestMs(() => heads(middle, middle + 7 * dayMs)) },
    { name: "all by the hour", ms: bestMs(() => trendOfFile(file, "rollup", fromMs, toMs, 100)) },
    { name: "the last hour", ms: bestMs(() => heads(toMs - 3_600_000, toMs)) },
  ];
}

/** What else runs on the machine only adds. */
function bestMs(work: () => unknown): number {
  let best = Number.POSITIVE_INFINITY;
  for (let i = 0; i < 7; i += 1) {
    const began = performance.now();
    work();
    best = Math.min(best, performance.now() - began);
  }
  return best;
}

function inWords(took: readonly Took[]): string {
  return took.map(({ name, ms }) => `${name} ${ms.toPrecision(2)} ms`).join(", ");
}
