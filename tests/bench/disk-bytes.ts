import { temporaryFolder } from "../temporary-folder.ts";
import type { Bench } from "./bench.ts";
import { influxBytes } from "./influx.ts";
import { sensorKinds } from "./plant-series.ts";
import { plainFile, sealedFile } from "./sealed-series.ts";

const readings = 1_000_000;
const startMs = Date.UTC(2026, 0, 1);

/**
 * Bytes a reading of one series with jittered times, indexes and hourly roll-up included, against the same points in
 * Debian's InfluxDB 1.6, compacted.
 */
function diskBench(sensor: keyof typeof sensorKinds): Bench {
  return {
    name: `disk-${sensor}`,
    run: async (note) => {
      const bytes = (jitterMs: number, write: typeof sealedFile): number => {
        const folder = temporaryFolder();
        try {
          const file = write(folder.path, { ...sensorKinds[sensor], jitterMs }, startMs, readings);
          file.db.close();
          return file.bytes / readings;
        } finally {
          folder.remove();
        }
      };
      const { jitterMs } = sensorKinds[sensor];
      const [ours, plain] = [bytes(jitterMs, sealedFile), bytes(jitterMs, plainFile)];
      note(`with regular times ${bytes(0, sealedFile).toFixed(3)}, jittered ${ours.toFixed(3)} bytes a reading`);
      // Each of so many milliseconds is as likely as any other.
      const chance = Math.log2(2 * jitterMs + 1) / 8;
      note(`jitter is chance: nothing that gives each time back takes less than ${chance.toFixed(3)} for it alone`);
      note(`our own open table takes ${plain.toFixed(1)}`);
      const baseline = await influxBytes(sensorKinds[sensor], startMs, readings);
      if (baseline === null) {
        note("skipped: influxd is not on this machine; it comes with Debian's package influxdb");
        return null;
      }
      const regular = await influxBytes({ ...sensorKinds[sensor], jitterMs: 0 }, startMs, readings);
      note(`InfluxDB with regular times ${regular?.toFixed(3)}, jittered ${baseline.toFixed(3)}`);
      return {
        name: `disk-${sensor}`,
        ours,
        baseline,
        unit: "bytes",
        ratio: ours / baseline,
        better: "lower",
        ask: 0.167,
      };
    },
  };
}

export const diskSteam: Bench = diskBench("steam");
export const diskOven: Bench = diskBench("oven");
export const diskHumidity: Bench = diskBench("humidity");
