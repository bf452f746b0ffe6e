import { join } from "node:path";
import type { Database } from "better-sqlite3";
import { goneTable } from "../../collector/store/embedded/seal/let-go.ts";
import { trendOf } from "../../collector/store/embedded/seal/trend.ts";
import { temporaryFolder } from "../temporary-folder.ts";
import type { Bench } from "./bench.ts";
import { duckFile } from "./duckdb.ts";
import { sensorKinds } from "./plant-series.ts";
import { plainFile, SERIES, type SeriesFile, sealedFile } from "./sealed-series.ts";

const dayMs = 86_400_000;
const columns = 2_000;
const fromMs = Date.UTC(2025, 0, 1);
const rounds = 3;

interface Column {
  readonly n: number;
  readonly min: number | null;
  readonly max: number | null;
}

/** A year of an oven at 1 Hz in 2,000 columns: queries a CPU second, against the best query on the plain table. */
function trendBench(way: "rollup" | "heads", ask: number, days: number): Bench {
  const name = `trend-year-${way}`;
  return {
    name,
    run: async (note) => {
      const folder = temporaryFolder();
      const count = (days * dayMs) / sensorKinds.oven.everyMs;
      const toMs = fromMs + days * dayMs;
      try {
        const sealed = sealedFile(folder.path, sensorKinds.oven, fromMs, count);
        const plain = plainFile(folder.path, sensorKinds.oven, fromMs, count);
        const ours = (): readonly Column[] => trend(sealed, way, toMs);
        const answers = ours();
        same(answers, byColumn(plain.db, toMs, way));
        note(`${count} readings, ${answers.length} columns, each the same by both`);
        const [grouped, each] = [cpuMs(() => byGroup(plain.db, toMs, way)), cpuMs(() => byColumn(plain.db, toMs, way))];
        const own = cpuMs(ours);
        note(
          `CPU ms: ours ${own.toFixed(1)}, plain by GROUP BY ${grouped.toFixed(0)}, plain column by column ${each.toFixed(0)}`,
        );
        const [mine, baseline] = [1000 / own, 1000 / Math.min(grouped, each)];
        sealed.db.close();
        plain.db.close();
        return { name, ours: mine, baseline, unit: "queries/CPU s", ratio: mine / baseline, better: "higher", ask };
      } finally {
        folder.remove();
      }
    },
  };
}

export const trendYearRollup: Bench = trendBench("rollup", 200, 365);
export const trendYearHeads: Bench = trendBench("heads", 8, 365);

/**
 * The same year as the product draws it, against DuckDB with two threads on the same readings in time order: queries a
 * CPU second, all threads counted.
 */
export const trendYearDuckdb: Bench = {
  name: "trend-year-duckdb",
  run: async (note) => {
    const name = "trend-year-duckdb";
    const folder = temporaryFolder();
    const days = 365;
    const count = (days * dayMs) / sensorKinds.oven.everyMs;
    const toMs = fromMs + days * dayMs;
    try {
      const duck = await duckFile(join(folder.path, "year.duckdb"), sensorKinds.oven, fromMs, count);
      if (duck === null) {
        note("left out: @duckdb/node-api is not installed; `npm install` brings it, with the other development tools");
        return null;
      }
      const sealed = sealedFile(folder.path, sensorKinds.oven, fromMs, count);
      const asked = (way: "rollup" | "heads"): string => `
        SELECT COUNT(*)::DOUBLE, MIN(value), MAX(value), SUM(value) FROM sample
        WHERE t >= ${fromMs} AND t < ${toMs} GROUP BY (t - ${fromMs}) // ${widthOf(toMs, way)} ORDER BY MIN(t)`;
      const theirs = (way: "rollup" | "heads"): Promise<readonly (readonly unknown[])[]> => duck.query(asked(way));
      for (const way of ["rollup", "heads"] as const) {
        const columnsOf = await theirs(way);
        same(
          trend(sealed, way, toMs),
          columnsOf.map(([n, min, max]) => ({ n, min, max }) as Column),
        );
      }
      note(`${count} readings, each column the same by both`);
      const [own, heads] = [cpuMs(() => trend(sealed, "rollup", toMs)), cpuMs(() => trend(sealed, "heads", toMs))];
      const duckMs = await cpuMsOf(() => theirs("rollup"));
      note(`CPU ms: ours ${own.toFixed(1)}, without the roll-up ${heads.toFixed(0)}, DuckDB ${duckMs.toFixed(0)}`);
      sealed.db.close();
      duck.close();
      const [mine, baseline] = [1000 / own, 1000 / duckMs];
      return { name, ours: mine, baseline, unit: "queries/CPU s", ratio: mine / baseline, better: "higher", ask: 1 };
    } finally {
      folder.remove();
    }
  },
};

/** As `cpuMs`, of work that other threads do. */
async function cpuMsOf(work: () => Promise<unknown>): Promise<number> {
  let best = Number.POSITIVE_INFINITY;
  for (let i = 0; i < rounds; i += 1) {
    const before = process.cpuUsage();
    await work();
    const { user, system } = process.cpuUsage(before);
    best = Math.min(best, (user + system) / 1000);
  }
  return best;
}

function trend(file: SeriesFile, way: "rollup" | "heads", toMs: number): readonly Column[] {
  return trendOfFile(file, way, fromMs, toMs, columns);
}

export function trendOfFile(
  { db, blocks, hours }: SeriesFile,
  way: "rollup" | "heads",
  fromMs: number,
  toMs: number,
  columns: number,
): readonly Column[] {
  const parts = { blocks, hours: way === "rollup" ? hours : null, gone: goneTable(db), open: () => [] };
  return trendOf(parts, SERIES, { fromMs, toMs }, columns);
}

/** As our own columns: whole hours where the roll-up is used. */
function widthOf(toMs: number, way: "rollup" | "heads"): number {
  const exact = (toMs - fromMs) / columns;
  return way === "rollup" ? Math.ceil(exact / 3_600_000) * 3_600_000 : Math.ceil(exact);
}

function byGroup(db: Database, toMs: number, way: "rollup" | "heads"): readonly Column[] {
  const query = db.prepare<[number, number, number, number, number], Column>(`
    SELECT COUNT(*) AS n, MIN(value) AS min, MAX(value) AS max, SUM(value) AS sum FROM sample
    WHERE series = ? AND t >= ? AND t < ? GROUP BY CAST((t - ?) / ? AS INTEGER)`);
  return query.all(SERIES, fromMs, toMs, fromMs, widthOf(toMs, way));
}

function byColumn(db: Database, toMs: number, way: "rollup" | "heads"): readonly Column[] {
  const width = widthOf(toMs, way);
  const query = db.prepare<[number, number, number], Column>(`
    SELECT COUNT(*) AS n, MIN(value) AS min, MAX(value) AS max, SUM(value) AS sum FROM sample
    WHERE series = ? AND t >= ? AND t < ?`);
  const out: Column[] = [];
  for (let from = fromMs; from < toMs; from += width) {
    const column = query.get(SERIES, from, Math.min(from + width, toMs));
    if (column !== undefined && column.n > 0) out.push(column);
  }
  return out;
}

function same(ours: readonly Column[], theirs: readonly Column[]): void {
  const text = (list: readonly Column[]): string => JSON.stringify(list.map(({ n, min, max }) => [n, min, max]));
  if (text(ours) !== text(theirs)) throw new Error("the trend says something else than the plain table");
}

/** CPU of one query, the best of some: what else runs on the machine only adds. */
function cpuMs(work: () => unknown): number {
  let best = Number.POSITIVE_INFINITY;
  for (let i = 0; i < rounds; i += 1) {
    const before = process.cpuUsage();
    let count = 0;
    for (const until = performance.now() + 300; count === 0 || performance.now() < until; count += 1) work();
    const { user, system } = process.cpuUsage(before);
    best = Math.min(best, (user + system) / 1000 / count);
  }
  return best;
}
