import type { SampleStore } from "../../../collector/store/sample-store.ts";
import type { InfluxServer } from "../influxdb.ts";

const dayMs = 86_400_000;

export type Counts = Readonly<Record<string, number>>;

/** Readings by series and UTC day, as the store gives them one by one. */
export function countsHere(store: SampleStore): Counts {
  const here = new Map<string, number>();
  for (const series of store.seriesNames()) {
    for (const { tMs } of store.read({ series, fromMs: 0, toMs: 1e14 }, { includeLate: true })) {
      const day = `${series} ${Math.floor(tMs / dayMs) * dayMs}`;
      here.set(day, (here.get(day) ?? 0) + 1);
    }
  }
  return Object.fromEntries([...here].sort());
}

export async function countsThere(server: InfluxServer, database: string): Promise<Counts> {
  const rows = await server.ask(
    `SELECT count("mark") FROM "reading" WHERE time >= 0 AND time < '2030-01-01' GROUP BY time(1d), "series" fill(none)`,
    database,
  );
  const counts = rows.map((row): [string, number] => [`${row["series"]} ${row["time"]}`, Number(row["count"])]);
  return Object.fromEntries(counts.filter(([, count]) => count !== 0).sort());
}
