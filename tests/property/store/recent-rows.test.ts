import fc from "fast-check";
import { expect, test } from "vitest";
import { recentRows } from "../../../collector/store/embedded/recent-rows.ts";
import type { ReadRow } from "../../../collector/store/embedded/seal/read-merged.ts";

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

test("what is held is what the file gives, or nothing", () => {
  let [held, asked] = [0, 0];
  const happening = fc.oneof(
    { weight: 12, arbitrary: write },
    { weight: 1, arbitrary: forget },
    { weight: 4, arbitrary: read },
  );
  fc.assert(
    fc.property(fc.array(happening, { maxLength: 120, size: "max" }), (happenings) => {
      /** The file: the first of a (series, time) is kept. */
      const file = [new Map<number, ReadRow>(), new Map<number, ReadRow>()];
      const recent = recentRows((series) => (file[series]!.size === 0 ? undefined : Math.max(...file[series]!.keys())));
      const newest = [0, 0];
      for (const one of happenings) {
        if (one.kind === "forget") recent.forget(one.series);
        else if (one.kind === "write") {
          const tMs = newest[one.series]! + one.stepMs;
          newest[one.series] = Math.max(newest[one.series]!, tMs);
          const row: ReadRow = [tMs, file[one.series]!.size, one.mark, null];
          recent.wrote(one.series, row);
          if (!file[one.series]!.has(tMs)) file[one.series]!.set(tMs, row);
        } else {
          const fromMs = newest[one.series]! - one.backMs;
          const ask = { fromMs, toMs: fromMs + one.lengthMs, markBelow: one.markBelow, limit: one.limit };
          const found = recent.read(one.series, ask);
          asked += 1;
          if (found === null) continue;
          held += 1;
          const all = [...file[one.series]!.values()]
            .filter(([tMs, , mark]) => tMs >= fromMs && tMs < ask.toMs && mark < one.markBelow)
            .sort((a, b) => a[0] - b[0]);
          expect(found).toEqual(one.limit < 0 ? all : all.slice(0, one.limit));
        }
      }
    }),
    { numRuns: 400 },
  );
  expect(held).toBeGreaterThan(asked / 10);
});

test("of a series at one reading a second some minutes are held, and no more", () => {
  const recent = recentRows(() => undefined);
  for (let tMs = 0; tMs < 3_600_000; tMs += 1000) recent.wrote(1, [tMs, 0, 0, null]);
  const ask = (fromMs: number) => recent.read(1, { fromMs, toMs: 3_600_000, markBelow: 4, limit: -1 });
  expect(ask(3_600_000 - 4 * minuteMs)).toHaveLength(240);
  expect(ask(3_600_000 - 6 * minuteMs)).toBeNull();
});
