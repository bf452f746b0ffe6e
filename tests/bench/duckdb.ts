import { type SensorKind, sensorRows } from "./plant-series.ts";
import { SENSOR_CHUNK } from "./sealed-series.ts";

/** As much of `@duckdb/node-api` 1.5.6 as is used here; it is loaded when a bench asks, for it weighs 68 MB. */
interface Connection {
  run(sql: string): Promise<unknown>;
  runAndReadAll(sql: string): Promise<{ getRows(): readonly (readonly unknown[])[] }>;
  createAppender(table: string): Promise<Appender>;
}
interface Appender {
  appendDataChunk(chunk: unknown): void;
  closeSync(): void;
}
interface Library {
  readonly BIGINT: unknown;
  readonly DOUBLE: unknown;
  readonly DuckDBInstance: { create(file: string): Promise<{ connect(): Promise<Connection>; closeSync(): void }> };
  readonly DuckDBDataChunk: {
    create(types: readonly unknown[], rows?: number): { setColumns(columns: readonly (readonly unknown[])[]): void };
  };
}

export interface DuckFile {
  query(sql: string): Promise<readonly (readonly unknown[])[]>;
  close(): void;
}

const CHUNK = 2_048;

/** A file with one series, in time order, in the table `sample (t, value)`; null where the package is not installed. */
export async function duckFile(
  file: string,
  kind: SensorKind,
  fromMs: number,
  count: number,
): Promise<DuckFile | null> {
  const duckdb = await library();
  if (duckdb === null) return null;
  const instance = await duckdb.DuckDBInstance.create(file);
  const connection = await instance.connect();
  await connection.run("SET threads = 2");
  await connection.run("CREATE TABLE sample (t BIGINT, value DOUBLE)");
  const appender = await connection.createAppender("sample");
  for (let from = 0; from < count; from += SENSOR_CHUNK) {
    // The same readings as in our own file.
    const rows = sensorRows(kind, from + 1, fromMs + from * kind.everyMs, Math.min(SENSOR_CHUNK, count - from));
    for (let at = 0; at < rows.times.length; at += CHUNK) {
      const [times, values] = [rows.times.slice(at, at + CHUNK), rows.values.slice(at, at + CHUNK)];
      const chunk = duckdb.DuckDBDataChunk.create([duckdb.BIGINT, duckdb.DOUBLE], times.length);
      chunk.setColumns([times.map(BigInt), values]);
      appender.appendDataChunk(chunk);
    }
  }
  appender.closeSync();
  await connection.run("CHECKPOINT");
  return {
    query: async (sql) => (await connection.runAndReadAll(sql)).getRows(),
    close: () => instance.closeSync(),
  };
}

async function library(): Promise<Library | null> {
  const name = "@duckdb/node-api";
  try {
    return (await import(name)) as Library;
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code === "ERR_MODULE_NOT_FOUND") return null;
    throw error;
  }
}
