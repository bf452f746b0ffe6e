import type { StoredEntry } from "../../spc/model/journal-entry.ts";
import type { LineWriter } from "../store/influx/influx-line.ts";
import type { InfluxReadings } from "../store/influx/influx-readings.ts";
import type { Journal, JournalQuery } from "../store/journal.ts";
import type { SampleStore } from "../store/sample-store.ts";
import { DAY_MS } from "./day-check.ts";

/** Runs taken at once; each has some features. */
const RUNS = 200;
const NAME = "long-term-runs";

type RunEntry = Extract<StoredEntry, { kind: "run" }>;

export interface RunChunk {
  readonly lines: readonly string[];
  readonly afterSeq: number;
  /** Of a day that goes once more; null for what is new. */
  readonly day: number | null;
}

/** Run values on their way, behind a watermark that is the journal's own number. */
export interface RunFeed {
  next(): RunChunk | null;
  arrived(chunk: RunChunk): void;
  /** Whether fewer run values of a day are there than here; such a day goes once more. */
  checkDay(far: Pick<InfluxReadings, "runCounts">, day: number): Promise<boolean>;
  /** Days of the first and the last run; null while there is none. */
  days(): { readonly first: number; readonly last: number } | null;
}

export function runFeed(
  { journal, store }: { readonly journal: Journal; readonly store: Pick<SampleStore, "remembered" | "remember"> },
  lines: LineWriter,
): RunFeed {
  const saved = store.remembered(NAME);
  let watermark = typeof saved === "number" ? saved : 0;
  /** Days that go once more, and how far they have come. */
  const again = new Map<number, number>();
  const runs = (query: JournalQuery): readonly RunEntry[] =>
    journal.read({ ...query, kinds: ["run"] }).filter((entry): entry is RunEntry => entry.kind === "run");
  const ofDay = (day: number): { readonly fromMs: number; readonly toMs: number } => ({
    fromMs: day * DAY_MS,
    toMs: (day + 1) * DAY_MS,
  });

  return {
    next: () => {
      const [first] = again;
      const day = first?.[0] ?? null;
      const afterSeq = first?.[1] ?? watermark;
      const found = runs({ afterSeq, limit: RUNS, ...(day === null ? {} : ofDay(day)) });
      if (found.length === 0) {
        if (day === null) return null;
        again.delete(day);
        return { lines: [], afterSeq, day: null };
      }
      const written = found.flatMap((entry) => lines.run(entry).map(({ line }) => line));
      return { lines: written, afterSeq: found.at(-1)!.seq, day };
    },
    arrived: ({ afterSeq, day }) => {
      if (day !== null) again.set(day, afterSeq);
      else if (afterSeq > watermark) {
        watermark = afterSeq;
        store.remember(NAME, watermark);
      }
    },
    checkDay: async (far, day) => {
      const here = new Map<string, Set<bigint>>();
      for (let afterSeq = 0; ; ) {
        const found = runs({ afterSeq, limit: RUNS, ...ofDay(day) });
        for (const entry of found) {
          if (entry.seq > watermark) continue;
          for (const { characteristic, tNs } of lines.run(entry)) {
            const times = here.get(characteristic) ?? new Set();
            here.set(characteristic, times.add(tNs));
          }
        }
        if (found.length < RUNS) break;
        afterSeq = found.at(-1)!.seq;
      }
      if (here.size === 0) return false;
      const there = await far.runCounts(day * DAY_MS, (day + 1) * DAY_MS);
      const short = [...here].some(([characteristic, times]) => (there.get(characteristic) ?? 0) < times.size);
      if (short) again.set(day, 0);
      return short;
    },
    days: () => {
      const [first] = runs({ orderBy: "time", limit: 1 });
      const [last] = runs({ orderBy: "time", newestFirst: true, limit: 1 });
      if (first === undefined || last === undefined) return null;
      return { first: Math.floor(first.atMs / DAY_MS), last: Math.floor(last.atMs / DAY_MS) };
    },
  };
}
