import { setImmediate as turn } from "node:timers/promises";
import fc from "fast-check";
import { expect, test } from "vitest";
import { checkDay, DAY_MS, daysKept } from "../../../collector/forward/day-check.ts";
import { type Chunk, isEmpty, type ReadingFeed, readingFeed } from "../../../collector/forward/reading-feed.ts";
import { openSampleStore } from "../../../collector/store/embedded/embedded-sample-store.ts";
import { lineWriter } from "../../../collector/store/influx/influx-line.ts";
import type { SampleStore } from "../../../collector/store/sample-store.ts";
import { incoming, places, reading } from "../../contract/store/incoming.ts";
import { temporaryFolder } from "../../temporary-folder.ts";

const t0 = Date.UTC(2026, 4, 20);
const names = ["PR-01/pressure", "PR-02/pressure", "PR-01/x"];

/** What may happen, in any order; times in minutes. */
const step = fc.oneof(
  {
    weight: 6,
    arbitrary: fc.record({
      does: fc.constant("commit"),
      series: fc.nat(2),
      at: fc.nat(6_000),
      count: fc.integer({ min: 1, max: 400 }),
    }),
  },
  { weight: 4, arbitrary: fc.record({ does: fc.constant("send"), arrives: fc.boolean(), between: fc.nat(6_000) }) },
  { weight: 1, arbitrary: fc.record({ does: fc.constant("seal") }) },
  { weight: 1, arbitrary: fc.record({ does: fc.constant("restart") }) },
  { weight: 1, arbitrary: fc.record({ does: fc.constant("let-go"), before: fc.nat(6_000) }) },
  { weight: 1, arbitrary: fc.record({ does: fc.constant("count"), day: fc.nat(4) }) },
  { weight: 1, arbitrary: fc.record({ does: fc.constant("lose"), day: fc.nat(4) }) },
);
type Step = (typeof step extends fc.Arbitrary<infer T> ? T : never) &
  Partial<Record<"series" | "at" | "count" | "between" | "before" | "day", number>>;

/** The far side: by series and time the line; a second writing changes nothing. */
class Far {
  readonly lines = new Map<string, string>();
  put(series: string, tMs: number, line: string): void {
    this.lines.set(`${series} ${tMs}`, line);
  }
  counts = (fromMs: number, toMs: number): Promise<ReadonlyMap<string, number>> => {
    const out = new Map<string, number>();
    for (const key of this.lines.keys()) {
      const [series = "", time = ""] = key.split(" ");
      if (Number(time) >= fromMs && Number(time) < toMs) out.set(series, (out.get(series) ?? 0) + 1);
    }
    return Promise.resolve(out);
  };
  lose(day: number): void {
    for (const key of [...this.lines.keys()]) {
      if (Math.floor(Number(key.split(" ")[1]) / DAY_MS) === day) this.lines.delete(key);
    }
  }
}

function arrive(store: SampleStore, feed: ReadingFeed, far: Far, chunk: Chunk): void {
  for (const [i, { series, tMs }] of chunk.samples.entries()) {
    const known = chunk.mayBeThere.some((one) => one.series === series && tMs >= one.fromMs && tMs < one.toMs);
    if (!known || !far.lines.has(`${series} ${tMs}`)) far.put(series, tMs, chunk.lines[i]!);
  }
  store.forwarding.done({ until: chunk.until, behind: chunk.behind, refused: chunk.refused });
  feed.arrived(chunk);
}

/**
 * One chunk and the next one, which is made while it is on its way; something is committed amid the making of each, and the
 * first arrives so many turns into the making of the second, or does not. False when there was nothing.
 */
async function send(
  { store, feed, far }: { readonly store: SampleStore; readonly feed: ReadingFeed; readonly far: Far },
  arrives: boolean,
  meanwhile: () => void,
  turns = 0,
): Promise<boolean> {
  const amid = async (making: Promise<Chunk>): Promise<Chunk> => {
    meanwhile();
    return making;
  };
  const chunk = await amid(feed.next());
  if (isEmpty(chunk)) return false;
  const making = amid(feed.next());
  for (let i = 0; i < turns; i += 1) await turn();
  if (arrives) arrive(store, feed, far, chunk);
  const next = await making;
  if (arrives) arrive(store, feed, far, next);
  else feed.reset();
  return true;
}

test("however commits, sealing, failures, restarts and losses there follow each other, all is there at last, as it came first", async () => {
  await fc.assert(
    fc.asyncProperty(fc.array(step, { minLength: 5, maxLength: 40 }), async (steps) => {
      const folder = temporaryFolder();
      const open = (): SampleStore => openSampleStore(folder.path, places, { holdForLongTerm: true });
      const lines = lineWriter("ostrimvale");
      const far = new Far();
      /** The first reading of each series and time: what must be there. */
      const first = new Map<string, number>();
      let store = open();
      // All else has its turn after each question, so that whatever may come between does.
      let feed = readingFeed(store, lines, 0);
      let value = 0;
      const commit = (series: number, at: number, count: number): void => {
        const name = names[series]!;
        const samples = Array.from({ length: count }, (_, i) => {
          value += 1;
          const tMs = t0 + at * 60_000 + i * 20_000;
          const key = `${name} ${tMs}`;
          if (!first.has(key)) first.set(key, value);
          return reading(tMs, value, name);
        });
        store.commit([incoming(samples)]);
      };
      const settle = (): void => {
        for (const station of ["PR-01", "PR-02"]) store.settle(station, t0 + 10 * DAY_MS);
      };
      const day0 = Math.floor(t0 / DAY_MS);
      const all = async (): Promise<void> => {
        while (await send({ store, feed, far }, true, () => undefined));
      };
      const play = async (one: Step): Promise<void> => {
        const { series = 0, at = 0, count = 1, between = 0, before = 0, day = 0 } = one;
        if (one.does === "commit") commit(series, at, count);
        else if (one.does === "send") {
          const arrives = "arrives" in one && one.arrives;
          await send({ store, feed, far }, arrives, () => commit(between % 3, between, 2), between % 5);
        } else if (one.does === "seal") {
          settle();
          while (store.sealSome());
        } else if (one.does === "restart") {
          store.close();
          store = open();
          feed = readingFeed(store, lines, 0);
        } else if (one.does === "let-go") {
          settle();
          for (const name of names) while (store.letGo("readings", name, t0 + before * 60_000).more);
        } else if (one.does === "count") await checkDay(store, far, day0 + day);
        // What is no longer here cannot be given back.
        else if (names.every((name) => store.keptFrom(name) === Number.NEGATIVE_INFINITY)) far.lose(day0 + day);
      };
      try {
        for (const one of steps) await play(one as Step);
        await all();
        const days = daysKept(store);
        for (let day = days?.last ?? 0; days !== null && day >= days.first; day -= 1) await checkDay(store, far, day);
        await all();
        const there = new Map([...far.lines].map(([key, line]) => [key, Number(/value=(\d+)/.exec(line)?.[1])]));
        expect(Object.fromEntries([...there].sort())).toEqual(Object.fromEntries([...first].sort()));
        expect(store.forwarding.behindCount()).toBe(0);
      } finally {
        store.close();
        folder.remove();
      }
    }),
    { numRuns: 25 },
  );
}, 120_000);
