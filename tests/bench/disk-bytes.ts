import { temporaryFolder } from "../temporary-folder.ts";
import type { Bench } from "./bench.ts";
import { sensorKinds } from "./plant-series.ts";
import { plainFile, sealedFile } from "./sealed-series.ts";

const readings = 1_000_000;
const startMs = Date.UTC(2026, 0, 1);

/** Bytes a reading of one series with jittered times, indexes and hourly roll-up included, against our own plain table. */
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
      const [ours, baseline] = [bytes(jitterMs, sealedFile), bytes(jitterMs, plainFile)];
      note(`with regular times ${bytes(0, sealedFile).toFixed(3)}, jittered ${ours.toFixed(3)} bytes a reading`);
      note("the baseline is our own open table; no other store was measured");
      return {
        name: `disk-${sensor}`,
        ours,
        baseline,
        unit: "bytes",
        ratio: ours / baseline,
        better: "lower",
        ask: null,
      };
    },
  };
}

export const diskSteam: Bench = diskBench("steam");
export const diskOven: Bench = diskBench("oven");
export const diskHumidity: Bench = diskBench("humidity");
