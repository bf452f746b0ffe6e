import fc from "fast-check";
import { expect, test } from "vitest";
import { recentRows } from "../../../collector/store/embedded/recent-rows.ts";
import type { ReadRow } from "../../../collector/store/embedded/seal/read-merged.ts";
import { toSample } from "../../../collector/store/embedded/stored-rows.ts";

const minuteMs = 60_000;
const write = fc.record({
  kind: fc.constant("write" as const),
  series: fc.nat({ max: 1 }),
  /** Mostly on, now and then the same again or back. */
  stepMs: fc.oneof(
    { weight: 8, arbitrary: fc.integer({ min: 1, max: minuteMs }) },
    fc.integer({ min: -200_000, max: 0 }),
  ),
  mark: fc.constantFrom(0, 1, 4),
  words: fc.oneof(
    { weight: 9, arbitrary: fc.constant(null) },
    { weight: 1, arbitrary: fc.constant('{"flask":"F-1"}') },
  ),
  missing: fc.boolean(),
});
const seal = fc.record({
  kind: fc.constant("seal" as const),
  series: fc.nat({ max: 1 }),
  backMs: fc.nat({ max: 8 * minuteMs }),
});
const forget = fc.record({ kind: fc.constant("forget" as const), series: fc.constantFrom(0, 1, undefined) });
const read = fc.record({
  kind: fc.constant("read" as const),
  series: fc.nat({ max: 1 }),
  backMs: fc.nat({ max: 8 * minuteMs }),
  lengthMs: fc.nat({ max: 8 * minuteMs }),
  limit: fc.constantFrom(-1, 0, 1, 3),
  markBelow: fc.constantFrom(4, 8),
});
const columns = fc.record({
  kind: fc.constant("columns" as const),
  series: fc.nat({ max: 1 }),
  backMs: fc.nat({ max: 8 * minuteMs }),
  most: fc.constantFrom(1, 3, 1000),
});

test("what is held is what the file gives, or nothing", () => {
  let [held, asked, whole] = [0, 0, 0];
  const happening = fc.oneof(
    { weight: 12, arbitrary: write },
    { weight: 1, arbitrary: forget },
    { weight: 1, arbitrary: seal },
    { weight: 4, arbitrary: read },
    { weight: 4, arbitrary: columns },
  );
  fc.assert(
    fc.property(fc.array(happening, { maxLength: 120, size: "max" }), (happenings) => {
      /** The file: the first of a (series, time) is kept. */
      const file = [new Map<number, ReadRow>(), new Map<number, ReadRow>()];
      const sealed = [Number.NEGATIVE_INFINITY, Number.NEGATIVE_INFINITY];
      const recent = recentRows(
        (series) => (file[series]!.size === 0 ? undefined : Math.max(...file[series]!.keys())),
        (series) => sealed[series]!,
      );
      const newest = [0, 0];
      const rowsOf = (series: number, fromMs: number, toMs: number): readonly ReadRow[] =>
        [...file[series]!.values()].filter(([tMs]) => tMs >= fromMs && tMs < toMs).sort((a, b) => a[0] - b[0]);
      for (const one of happenings) {
        if (one.kind === "forget") recent.forget(one.series);
        else if (one.kind === "write") {
          const tMs = newest[one.series]! + one.stepMs;
          newest[one.series] = Math.max(newest[one.series]!, tMs);
          const row: ReadRow = [tMs, one.missing ? null : file[one.series]!.size, one.mark, one.words];
          recent.wrote(one.series, ...row);
          if (!file[one.series]!.has(tMs)) file[one.series]!.set(tMs, row);
        } else if (one.kind === "seal") {
          sealed[one.series] = Math.max(sealed[one.series]!, newest[one.series]! - one.backMs);
        } else if (one.kind === "columns") {
          const [afterMs, beforeMs] = [newest[one.series]! - one.backMs, newest[one.series]! - minuteMs];
          const found = recent.columns(one.series, afterMs, beforeMs, one.most);
          if (found === null) continue;
          const all = rowsOf(one.series, afterMs + 1, beforeMs).slice(0, one.most);
          whole += all.length;
          expect(all.every(([, , , words]) => words === null)).toBe(true);
          expect(found.times.map((tMs, i) => [tMs, found.values[i], found.marks[i], null])).toEqual(all);
        } else {
          const fromMs = newest[one.series]! - one.backMs;
          const ask = { fromMs, toMs: fromMs + one.lengthMs, markBelow: one.markBelow, limit: one.limit };
          const found = recent.read(one.series, "PR-01/pressure", ask);
          asked += 1;
          if (found === null) continue;
          held += 1;
          const all = rowsOf(one.series, fromMs, ask.toMs)
            .filter(([, , mark]) => mark < one.markBelow)
            .map((row) => toSample("PR-01/pressure", row));
          expect(found).toEqual(one.limit < 0 ? all : all.slice(0, one.limit));
        }
      }
    }),
    { numRuns: 400 },
  );
  expect(held).toBeGreaterThan(asked / 10);
  expect(whole).toBeGreaterThan(100);
});

const hourMs = 3_600_000;
const secondly = (sealedUntil: () => number): ReturnType<typeof recentRows> => {
  const recent = recentRows(() => undefined, sealedUntil);
  for (let tMs = 0; tMs < hourMs; tMs += 1000) recent.wrote(1, tMs, 0, 0, null);
  return recent;
};
const readFrom = (recent: ReturnType<typeof recentRows>, fromMs: number) =>
  recent.read(1, "PR-01/pressure", { fromMs, toMs: hourMs, markBelow: 4, limit: -1 });

test("of a series at one reading a second some minutes are held once they are sealed, and no more", () => {
  const recent = secondly(() => Number.POSITIVE_INFINITY);
  expect(readFrom(recent, hourMs - 4 * minuteMs)).toHaveLength(240);
  expect(readFrom(recent, hourMs - 6 * minuteMs)).toBeNull();
});

test("what waits to be sealed is held for that", () => {
  const recent = secondly(() => 10 * minuteMs);
  expect(recent.columns(1, 10 * minuteMs, hourMs, 20_000)?.times).toHaveLength(50 * 60 - 1);
  expect(recent.columns(1, 9 * minuteMs, hourMs, 20_000)).toBeNull();
});
