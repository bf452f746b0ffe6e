import { join } from "node:path";
import Database from "better-sqlite3";
import fc from "fast-check";
import { afterEach, beforeEach, expect, test } from "vitest";
import { openSampleStore } from "../../../collector/store/embedded/embedded-sample-store.ts";
import type { SampleStore } from "../../../collector/store/sample-store.ts";
import { temporaryFolder } from "../../temporary-folder.ts";
import { incoming, places, pressure, reading } from "./incoming.ts";

let folder: ReturnType<typeof temporaryFolder>;
let store: SampleStore;
beforeEach(() => {
  folder = temporaryFolder();
  store = openSampleStore(folder.path, places);
});
afterEach(() => folder.remove());

const whole = { series: pressure, fromMs: 0, toMs: Number.MAX_SAFE_INTEGER };
const late = { includeLate: true };
const minutes = 60_000;

/** Ten readings a second with the noise of a sensor that shows a thousandth of a bar. */
function plateau(fromMs: number, count: number) {
  return Array.from({ length: count }, (_, i) => reading(fromMs + 100 * i, Math.round(900 + 40 * Math.sin(i)) / 1000));
}

function sealAll(cutUntilMs = Number.MAX_SAFE_INTEGER): void {
  store.settle("PR-01", cutUntilMs);
  while (store.sealSome());
}

function rowsIn(table: string): number {
  const db = new Database(join(folder.path, "readings.sqlite"), { readonly: true });
  const { n } = db.prepare<[], { n: number }>(`SELECT COUNT(*) AS n FROM ${table}`).get()!;
  db.close();
  return n;
}

test("what is sealed reads as before, takes little room, and stays after a stop", () => {
  const all = plateau(0, 60_000);
  store.commit([incoming(all)]);
  const before = store.read(whole);
  const newest = store.latest(pressure);
  sealAll();
  expect(rowsIn("sample")).toBeLessThan(20_000);
  expect(rowsIn("block")).toBeGreaterThan(2);
  expect(store.read(whole)).toEqual(before);
  expect(store.latest(pressure)).toEqual(newest);
  expect(store.read({ ...whole, fromMs: 300_000, toMs: 300_500 }).map((one) => one.tMs)).toEqual([
    300_000, 300_100, 300_200, 300_300, 300_400,
  ]);
  expect(store.read(whole, { limit: 7 })).toEqual(before.slice(0, 7));
  store.close();
  store = openSampleStore(folder.path, places);
  expect(store.read(whole)).toEqual(before);
  store.close();
});

test("repeats of what is sealed are duplicates, and add nothing", () => {
  const all = plateau(0, 30_000);
  store.commit([incoming(all)]);
  sealAll();
  const open = rowsIn("sample");
  store.commit([incoming(all)]);
  expect(store.counts()).toMatchObject({ received: 60_000, stored: 30_000, duplicate: 30_000 });
  expect(rowsIn("sample")).toBe(open);
  store.close();
});

test("late readings fall into the blocks they belong to; of two of one time the sealed one stays", () => {
  const all = plateau(10 * minutes, 30_000);
  store.commit([incoming(all)]);
  sealAll(all.at(-1)!.tMs);
  const between = all.slice(100, 20_000).filter((_, i) => i % 7 === 0);
  const added = between.map((one) => reading(one.tMs + 50, 1.5));
  const earlier = [1, 2, 3].map((t) => reading(t, 0.25));
  store.commit([incoming([...added, ...earlier, ...between.map((one) => reading(one.tMs, 9))])]);
  const before = store.read(whole, late);
  expect(before).toHaveLength(all.length + added.length + earlier.length);
  // While they are still open amid what is sealed, a count takes each of them once.
  const [fromMs, toMs] = [between[10]!.tMs + 1, all.at(-1)!.tMs];
  const within = before.filter(({ tMs }) => tMs >= fromMs && tMs < toMs);
  expect(store.count({ series: pressure, fromMs, toMs }, false)).toBe(within.length);
  expect(store.count({ ...whole, toMs: 100 * 60 * minutes }, true)).toBe(before.length);
  store.commit([incoming(plateau(10 * minutes + 3_000_000, 20_000))]);
  sealAll();
  const after = store.read(whole, late);
  expect(after.slice(0, before.length)).toEqual(before);
  expect(after.filter((one) => one.late)).toHaveLength(added.length + earlier.length);
  const hours = store.trend({ ...whole, toMs: 100 * 60 * minutes }, 10);
  expect(hours.reduce((sum, column) => sum + column.n, 0)).toBe(after.length);
  store.close();
});

test("a trend has at most the columns asked for, loses no extreme, and says of each what a plain reading says", () => {
  const all = plateau(0, 60_000);
  const spike = { ...all[33_333]!, value: 7.5 };
  store.commit([incoming([...all.slice(0, 33_333), spike, ...all.slice(33_334)])]);
  sealAll();
  for (const [fromMs, toMs, columns] of [
    [0, 6_000_000, 800],
    [123_456, 4_000_001, 37],
    [0, 36_000_000, 3],
    [2_000_000, 2_000_900, 50],
  ] as const) {
    const found = store.trend({ series: pressure, fromMs, toMs }, columns);
    const read = store.read({ series: pressure, fromMs, toMs });
    expect(store.count({ series: pressure, fromMs, toMs }, false)).toBe(read.length);
    expect(found.length).toBeLessThanOrEqual(columns);
    for (const column of found) {
      const plain = store
        .read({ series: pressure, fromMs: column.fromMs, toMs: Math.min(column.toMs, Math.max(toMs, column.toMs)) })
        .filter(({ tMs }) => toMs - fromMs >= 3_600_000 * columns || (tMs >= fromMs && tMs < toMs))
        .map(({ value }) => value!);
      expect(column.n).toBe(plain.length);
      expect(column.min).toBe(Math.min(...plain));
      expect(column.max).toBe(Math.max(...plain));
      expect(column.mean).toBeCloseTo(plain.reduce((a, b) => a + b, 0) / plain.length, 9);
    }
  }
  store.close();
});

test("readings at the end of what a double holds are sealed and drawn, and have no mean", () => {
  const most = Number.MAX_VALUE;
  const all = plateau(0, 60_000).map((one, i) => ({ ...one, value: i < 30_000 ? most : -most }));
  store.commit([incoming(all)]);
  const before = store.read(whole);
  sealAll();
  expect(rowsIn("sample")).toBeLessThan(20_000);
  expect(store.read(whole)).toEqual(before);
  for (const columns of [1, 3, 800]) {
    const drawn = store.trend({ series: pressure, fromMs: 0, toMs: 6 * 3_600_000 }, columns);
    expect(drawn.reduce((sum, { n }) => sum + n, 0)).toBe(60_000);
    expect(Math.max(...drawn.map(({ max }) => max!))).toBe(most);
    expect(Math.min(...drawn.map(({ min }) => min!))).toBe(-most);
    expect(drawn.map(({ mean }) => mean)).toEqual(drawn.map(() => null));
  }
  // Once past all, an hour stays so, whatever comes late into it.
  store.commit([incoming(Array.from({ length: 9_000 }, (_, i) => reading(50 + 100 * i, 1)))]);
  sealAll();
  expect(store.trend({ series: pressure, fromMs: 0, toMs: 36_000_000 }, 1)[0]).toMatchObject({ n: 69_000, mean: null });
  store.close();
});

test("a series that cannot be sealed is told, and holds up no other", () => {
  const temperature = "AO-1/t1";
  store.commit([
    incoming(plateau(0, 30_000)),
    incoming(
      Array.from({ length: 30_000 }, (_, i) => reading(1000 * i, 60 + (i % 7), temperature)),
      { source: "GW-AO" },
    ),
  ]);
  const db = new Database(join(folder.path, "readings.sqlite"));
  db.exec(`CREATE TRIGGER none_of_the_first BEFORE INSERT ON block
    WHEN NEW.series = (SELECT id FROM series WHERE name = '${pressure}') BEGIN SELECT RAISE(ABORT, 'as if ours'); END`);
  db.close();
  store.settle("PR-01", Number.MAX_SAFE_INTEGER);
  store.settle("AO-1", Number.MAX_SAFE_INTEGER);
  expect(() => store.sealSome()).toThrow("as if ours");
  expect(store.sealSome()).toBe(true);
  expect(rowsIn("block")).toBeGreaterThan(0);
  expect(store.read(whole)).toHaveLength(30_000);
  store.close();
});

test("what is still to be cut into runs, and events with attributes, stay open", () => {
  store.commit([incoming(plateau(0, 30_000))]);
  expect(store.sealSome()).toBe(true);
  expect(rowsIn("block")).toBe(0);
  const events = Array.from({ length: 9000 }, (_, i) => ({
    ...reading(i * 1000, i, "PR-01/step"),
    attributes: { part: "OFW-2107" },
  }));
  store.commit([incoming(events)]);
  sealAll();
  expect(store.read({ ...whole, series: "PR-01/step" }, late)).toHaveLength(9000);
  store.close();
});

test("a damaged block costs its own readings, is named, and the rest reads on", () => {
  store.commit([incoming(plateau(0, 60_000))]);
  sealAll();
  const before = store.read(whole);
  store.close();
  const db = new Database(join(folder.path, "readings.sqlite"));
  const block = db.prepare<[], { id: number; t0: number; t1: number; n: number; bytes: Buffer }>(
    "SELECT id, t0, t1, n, bytes FROM block ORDER BY t0 LIMIT 1 OFFSET 1",
  );
  const { id, t0, t1, n, bytes } = block.get()!;
  bytes[bytes.length >> 1]! ^= 1;
  db.prepare("UPDATE block SET bytes = ? WHERE id = ?").run(bytes, id);
  db.close();
  store = openSampleStore(folder.path, places);
  expect(store.read(whole)).toEqual(before.filter(({ tMs }) => tMs < t0 || tMs > t1));
  expect(store.read(whole)).toHaveLength(before.length - n);
  expect(store.lost()).toEqual([{ series: pressure, fromMs: t0, toMs: t1, why: expect.stringContaining("checksum") }]);
  store.close();
});

test("however commits, sealing and stops follow each other, the first reading of each time is kept once", () => {
  const burst = fc.record({
    fromMs: fc.integer({ min: 0, max: 2_000_000 }),
    count: fc.integer({ min: 1, max: 3000 }),
    everyMs: fc.constantFrom(100, 250, 1000),
  });
  const act = fc.oneof(
    { weight: 5, arbitrary: burst },
    { weight: 3, arbitrary: fc.constant("seal" as const) },
    { weight: 1, arbitrary: fc.constant("reopen" as const) },
  );
  fc.assert(
    fc.property(fc.array(act, { minLength: 3, maxLength: 14 }), (acts) => {
      const own = temporaryFolder();
      let kept = openSampleStore(own.path, places);
      const model = new Map<number, number>();
      let value = 0;
      for (const one of acts) {
        if (one === "seal") {
          kept.settle("PR-01", Number.MAX_SAFE_INTEGER);
          while (kept.sealSome());
        } else if (one === "reopen") {
          kept.close();
          kept = openSampleStore(own.path, places);
        } else {
          value += 0.001;
          const written = Math.round(value * 1000) / 1000;
          const times = Array.from({ length: one.count }, (_, i) => one.fromMs + i * one.everyMs);
          kept.commit([incoming(times.map((t) => reading(t, written)))]);
          for (const t of times) if (!model.has(t)) model.set(t, written);
        }
      }
      const expected = [...model].sort(([a], [b]) => a - b);
      expect(kept.read(whole, late).map(({ tMs, value: v }) => [tMs, v])).toEqual(expected);
      expect(kept.counts().stored).toBe(model.size);
      kept.close();
      own.remove();
    }),
    { numRuns: 25 },
  );
});

test("more late readings of a damaged block than fit one turn end the sealing all the same, and are read beside it", () => {
  store.commit([incoming(plateau(0, 60_000))]);
  sealAll();
  store.close();
  const db = new Database(join(folder.path, "readings.sqlite"));
  db.prepare("UPDATE block SET bytes = zeroblob(length(bytes))").run();
  db.close();
  store = openSampleStore(folder.path, places);
  const late = Array.from({ length: 25_000 }, (_, i) => reading(50 + 100 * i, 1));
  store.commit([incoming(late)]);
  store.commit([incoming(plateau(6_000_000, 20_000))]);
  for (let turns = 0; store.sealSome(); turns += 1) expect(turns).toBeLessThan(100);
  const found = store.read({ ...whole, toMs: 2_500_000 }, { includeLate: true });
  expect(found.filter(({ value }) => value === 1)).toHaveLength(25_000);
  store.close();
});

test.each([
  ["max", "7.5"],
  ["min", "NULL"],
  ["sum", "sum + 1"],
  ["n", "n + 1"],
  ["valued", "valued - 1"],
  ["t1", "t0"],
  ["t1", "t1 + 100000000"],
])("a head whose %s has decayed to %s is made anew from its block", (column, decayed) => {
  const all = plateau(0, 24_000);
  store.commit([incoming(all)]);
  sealAll();
  const asked = { series: pressure, fromMs: 1_000, toMs: 2_399_000 };
  const [trend, read] = [store.trend(asked, 40), store.read(whole)];
  store.close();
  const db = new Database(join(folder.path, "readings.sqlite"));
  db.prepare(`UPDATE block SET ${column} = ${decayed}`).run();
  db.close();
  store = openSampleStore(folder.path, places);
  expect(store.trend(asked, 40)).toEqual(trend);
  expect(store.read(whole)).toEqual(read);
  expect(store.lost()).toEqual([]);
  store.commit([incoming(all)]);
  expect(store.counts()).toMatchObject({ stored: 24_000, duplicate: 24_000 });
  store.close();
});
