import { findCommand } from "../system/find-command.ts";
import { temporaryFolder } from "../temporary-folder.ts";
import type { Bench } from "./bench.ts";
import { influxBytes } from "./influx.ts";
import { type SensorKind, sensorKinds } from "./plant-series.ts";
import { plainFile, sealedFile } from "./sealed-series.ts";

const readings = 1_000_000;
const startMs = Date.UTC(2026, 0, 1);
/** Of a gateway that polls when it comes to it. */
const idleJitterMs = { steam: 3, oven: 50, humidity: 800 } as const;

/**
 * Bytes a reading of one series with jittered times, its index included, against the same points in Debian's InfluxDB
 * 1.6, compacted. Our hours, which InfluxDB does not keep, are told beside, and so are other jitters.
 */
function diskBench(sensor: keyof typeof sensorKinds): Bench {
  const name = `disk-${sensor}`;
  return {
    name,
    run: async (note) => {
      if (findCommand("influxd") === undefined) {
        note("skipped: influxd is not on this machine; it comes with Debian's package influxdb");
        return null;
      }
      const compare = async (kind: SensorKind): Promise<{ readonly ours: number; readonly baseline: number }> => {
        const { bytes: ours, hourBytes } = bytesAReading(kind, sealedFile);
        const baseline = await influxBytes(kind, startMs, readings);
        const withHours = ours + hourBytes;
        // Each of so many milliseconds is as likely as any other.
        const chance = Math.log2(2 * kind.jitterMs + 1) / 8;
        note(
          `times off by up to ${kind.jitterMs} ms, of which chance alone takes ${chance.toFixed(3)}: ` +
            `InfluxDB ${baseline.toFixed(3)}, ours ${ours.toFixed(3)} (${(ours / baseline).toFixed(3)}), ` +
            `with hours ${withHours.toFixed(3)} (${(withHours / baseline).toFixed(3)})`,
        );
        return { ours, baseline };
      };
      const kind = sensorKinds[sensor];
      await compare({ ...kind, jitterMs: 0 });
      await compare({ ...kind, jitterMs: idleJitterMs[sensor] });
      note(`our own open table takes ${bytesAReading(kind, plainFile).bytes.toFixed(1)}`);
      const { ours, baseline } = await compare(kind);
      return { name, ours, baseline, unit: "bytes", ratio: ours / baseline, better: "lower", ask: 0.167 };
    },
  };
}

function bytesAReading(
  kind: SensorKind,
  write: typeof sealedFile,
): { readonly bytes: number; readonly hourBytes: number } {
  const folder = temporaryFolder();
  try {
    const { db, bytes, hourBytes } = write(folder.path, kind, startMs, readings);
    db.close();
    return { bytes: bytes / readings, hourBytes: hourBytes / readings };
  } finally {
    folder.remove();
  }
}

export const diskSteam: Bench = diskBench("steam");
export const diskOven: Bench = diskBench("oven");
export const diskHumidity: Bench = diskBench("humidity");
