import { afterAll, beforeAll, describe, expect, test } from "vitest";
import type { ReadingPort } from "../../../collector/store/reading-port.ts";
import type { SampleStore, TrendColumn } from "../../../collector/store/sample-store.ts";
import type { Sample } from "../../../spc/model/sample.ts";
import { incoming, pressure, reading } from "./incoming.ts";

export const hourMs = 3_600_000;
export const t0 = Date.UTC(2026, 4, 20);
export const step = "PR-01/step";

export interface OpenedPort {
  readonly port: ReadingPort;
  /** What was taken in, all of it still here: what every port is held to. */
  readonly plain: SampleStore;
  close(): Promise<void>;
}

/** Readings that try what may go wrong on the way: extremes of numbers, no value, marks, holes, text, neighbours in time. */
export function triedReadings(): readonly (readonly Sample[])[] {
  const numbers = [
    0.1 + 0.2,
    1e21,
    5e-324,
    Number.MAX_VALUE,
    -1.5e-7,
    123_456_789.123,
    Number.MAX_SAFE_INTEGER,
    1 / 3,
    0,
    -7,
  ];
  const steam = Array.from({ length: 9_000 }, (_, i) =>
    reading(t0 + 5_000 * i, Math.round(900 + 400 * Math.sin(i * i)) / 1000),
  );
  const odd = numbers.flatMap((value, i): Sample[] => [
    { series: pressure, tMs: t0 + 13 * hourMs + 2 * i, value, quality: i % 2 === 0 ? "good" : "uncertain" },
    { series: pressure, tMs: t0 + 13 * hourMs + 2 * i + 1, value: null, quality: "bad" },
  ]);
  const none = [reading(t0 + 20 * hourMs, null), reading(t0 + 20 * hourMs + 1, null)];
  const late = [reading(t0 + 1, 0.5), reading(t0 + 3 * hourMs + 1, null), reading(t0 + 13 * hourMs + 5_000, 42)];
  const events: Sample[] = [0, 1, 2].map((i) => ({
    ...{ series: step, tMs: t0 + i * hourMs, value: i, quality: "good" },
    attributes: { part: `OFW "${i}"`, note: "ä, b=\\ c\nd" },
  }));
  return [steam.slice(0, 4_000), steam.slice(4_000, 8_000), steam.slice(8_000), events, odd, none, late];
}

export function fillTried(store: SampleStore): void {
  for (const samples of triedReadings()) store.commit([incoming(samples)]);
}

/** What every way of reading must give: the same as a store that kept all. */
export function readingPortContract(name: string, open: () => Promise<OpenedPort>): void {
  describe(`${name} reads as a store that kept all`, () => {
    let opened: OpenedPort;
    beforeAll(async () => {
      opened = await open();
    }, 90_000);
    afterAll(() => opened.close());

    const ranges: readonly (readonly [string, number, number])[] = [
      ["all", t0 - hourMs, t0 + 30 * hourMs],
      ["the first hours", t0, t0 + 5 * hourMs],
      ["about the border", t0 + 5 * hourMs, t0 + 11 * hourMs],
      ["one reading", t0 + 5_000, t0 + 5_001],
      ["up to a reading, which is left out", t0 - 5, t0],
      ["numbers that are hard to write", t0 + 13 * hourMs, t0 + 13 * hourMs + 10_000],
      ["a hole", t0 + 15 * hourMs, t0 + 19 * hourMs],
      ["no value", t0 + 19 * hourMs, t0 + 21 * hourMs],
      ["all time", Number.MIN_SAFE_INTEGER, Number.MAX_SAFE_INTEGER],
    ];

    test.each(ranges)("%s: every bit, mark and attribute, late ones where asked for", async (_, fromMs, toMs) => {
      for (const series of [pressure, step, "PR-02/pressure"]) {
        for (const options of [{}, { includeLate: true }, { includeLate: true, limit: 7 }]) {
          const range = { series, fromMs, toMs };
          expect(await opened.port.read(range, options)).toEqual(opened.plain.read(range, options));
        }
      }
    });

    test.each([1, 40, 2_000])(
      "in %i columns: counts and extremes are the same, means to 12 digits",
      async (columns) => {
        for (const [, fromMs, toMs] of ranges.slice(0, -1)) {
          const range = { series: pressure, fromMs, toMs };
          expect((await opened.port.trend(range, columns)).map(rounded)).toEqual(
            opened.plain.trend(range, columns).map(rounded),
          );
        }
      },
    );
  });
}

/** A mean is summed in another order there. */
function rounded(column: TrendColumn): unknown {
  return { ...column, mean: column.mean === null ? null : Number(column.mean.toPrecision(12)) };
}
