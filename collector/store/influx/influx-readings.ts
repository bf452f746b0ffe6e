import { LATE_MARK, markQuality } from "../embedded/sample-mark.ts";
import type { ReadingPort } from "../reading-port.ts";
import type { SampleRange, StoredSample, TrendColumn } from "../sample-store.ts";
import { trendGrid } from "../trend-grid.ts";
import { type Cell, type InfluxQuery, quoted, type Series } from "./influx-query.ts";

/** Readings asked for at once. */
const PAGE = 10_000;
/** InfluxDB counts nanoseconds in 64 bits: years 1678 to 2262. */
const FIRST_MS = -9_223_372_036_854;
const LAST_MS = 9_223_372_036_854;

export interface InfluxReadings extends ReadingPort {
  /** How many readings there are of each series with fromMs <= tMs < toMs; those without any are left out. */
  counts(fromMs: number, toMs: number): Promise<ReadonlyMap<string, number>>;
  /** How many run values there are of each characteristic in a range. */
  runCounts(fromMs: number, toMs: number): Promise<ReadonlyMap<string, number>>;
}

/**
 * Reads what the forwarder wrote. Only what all three generations of InfluxQL have alike is asked: `series` is a word of
 * the language, so names stand in quotes; every question has both bounds, since without the lower one buckets begin in
 * 1677 and without the upper one what lies ahead of the server's clock is left out.
 */
export function influxReadings({ ask }: Pick<InfluxQuery, "ask">, site: string): InfluxReadings {
  const where = (series: string, fromMs: number, toMs: number): string =>
    `"site" = ${quoted(site)} AND "series" = ${quoted(series)} AND ${between(fromMs, toMs)}`;

  const page = async (range: SampleRange, late: boolean, limit: number): Promise<readonly StoredSample[]> => {
    const marks = late ? "" : ` AND "mark" < ${LATE_MARK}`;
    const [found] = await ask(
      `SELECT "mark", "value", "attributes" FROM "reading" WHERE ${where(range.series, range.fromMs, range.toMs)}${marks} ORDER BY time ASC LIMIT ${limit}`,
    );
    return found === undefined ? [] : samplesOf(range.series, found);
  };

  const countBy = async (tag: string, question: string): Promise<ReadonlyMap<string, number>> => {
    const found = await ask(question);
    return new Map(
      found.map(({ tags, columns, rows }) => [tags[tag] ?? "", numberOf(rows[0]?.[columns.indexOf("count")])]),
    );
  };

  return {
    read: async ({ series, fromMs, toMs }, { includeLate = false, limit = Number.POSITIVE_INFINITY } = {}) => {
      const out: StoredSample[] = [];
      for (let from = fromMs; out.length < limit; ) {
        const most = Math.min(PAGE, limit - out.length);
        const found = await page({ series, fromMs: from, toMs }, includeLate, most);
        for (const sample of found) out.push(sample);
        if (found.length < most) break;
        from = found.at(-1)!.tMs + 1;
      }
      return out;
    },
    trend: async (range, columns) => {
      const { fromMs, widthMs } = typeof columns === "number" ? trendGrid(range, columns) : columns;
      const offset = ((fromMs % widthMs) + widthMs) % widthMs;
      const [found] = await ask(
        `SELECT count("mark") AS "n", count("value") AS "valued", min("value") AS "min", max("value") AS "max", sum("value") AS "sum" FROM "reading" WHERE ${where(range.series, range.fromMs, range.toMs)} GROUP BY time(${widthMs}ms, ${offset}ms) fill(none)`,
      );
      return found === undefined ? [] : columnsOf(found, widthMs);
    },
    counts: (fromMs, toMs) =>
      countBy(
        "series",
        `SELECT count("mark") FROM "reading" WHERE "site" = ${quoted(site)} AND ${between(fromMs, toMs)} GROUP BY "series"`,
      ),
    runCounts: (fromMs, toMs) =>
      countBy(
        "characteristic",
        `SELECT count("run") FROM "run_value" WHERE "site" = ${quoted(site)} AND ${between(fromMs, toMs)} GROUP BY "characteristic"`,
      ),
  };
}

function between(fromMs: number, toMs: number): string {
  const bound = (tMs: number): string => `${Math.min(Math.max(Math.ceil(tMs), FIRST_MS), LAST_MS)}ms`;
  return `time >= ${bound(fromMs)} AND time < ${bound(toMs)}`;
}

function samplesOf(series: string, { columns, rows }: Series): readonly StoredSample[] {
  const [time, mark, value, attributes] = ["time", "mark", "value", "attributes"].map((name) => columns.indexOf(name));
  return rows.map((row): StoredSample => {
    const number = numberOf(row[mark!]);
    const told = row[attributes!];
    const at = row[value!];
    const sample = {
      ...{ series, tMs: numberOf(row[time!]), value: typeof at === "number" ? at : null },
      ...{ quality: markQuality(number), late: number >= LATE_MARK },
    };
    return typeof told === "string" ? { ...sample, attributes: JSON.parse(told) } : sample;
  });
}

function columnsOf({ columns, rows }: Series, widthMs: number): readonly TrendColumn[] {
  const place = (name: string): number => columns.indexOf(name);
  const [time, n, valued, min, max, sum] = ["time", "n", "valued", "min", "max", "sum"].map(place);
  return rows.flatMap((row): TrendColumn[] => {
    const [readings, withValue] = [numberOf(row[n!]), numberOf(row[valued!])];
    if (readings === 0) return [];
    const fromMs = numberOf(row[time!]);
    const numbers =
      withValue === 0
        ? { min: null, max: null, mean: null }
        : { min: numberOf(row[min!]), max: numberOf(row[max!]), mean: numberOf(row[sum!]) / withValue };
    return [{ fromMs, toMs: fromMs + widthMs, n: readings, valued: withValue, ...numbers }];
  });
}

/** Nothing counted may come as null. */
function numberOf(cell: Cell | undefined): number {
  return typeof cell === "number" ? cell : 0;
}
