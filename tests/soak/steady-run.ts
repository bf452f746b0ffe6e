import { writeFileSync } from "node:fs";
import { parseArgs } from "node:util";
import { steady } from "./steady.ts";
import { plotOf, verdictOf } from "./steady-verdict.ts";

/**
 * `npm run -s soak -- run --hours H --speed X [--stalled] [--slow-disk MS] [--influx-hangs] [--plot FILE.svg] [--json]`: hours of the
 * plant, X times as fast, or `--speed max`: a backlog. Exit code 1 when a message was not acknowledged, memory passed
 * 1 GiB, or memory, handles, delay or lag were not flat after the warm-up (of a backlog the handles only).
 */
export async function steadyRun(words: readonly string[]): Promise<number> {
  const { values } = parseArgs({
    args: [...words],
    options: {
      hours: { type: "string" },
      speed: { type: "string" },
      stalled: { type: "boolean" },
      "slow-disk": { type: "string" },
      "influx-hangs": { type: "boolean" },
      plot: { type: "string" },
      json: { type: "boolean" },
    },
  });
  const hours = Number(values.hours ?? 1);
  const speed = values.speed === "max" ? Number.POSITIVE_INFINITY : Number(values.speed ?? 60);
  const slowDiskMs = Number(values["slow-disk"] ?? 0);
  if (!(hours > 0 && hours <= 1_000 && speed > 0 && slowDiskMs >= 0)) {
    console.error(
      "run: expected numbers above 0 after --hours and --speed (or max), and milliseconds after --slow-disk",
    );
    return 2;
  }
  const result = await steady({
    ...{ hours, speed, slowDiskMs },
    stalled: values.stalled === true,
    influxHangs: values["influx-hangs"] === true,
  });
  const verdict = verdictOf(result, speed === Number.POSITIVE_INFINITY);
  if (values.plot !== undefined) writeFileSync(values.plot, plotOf(result));
  const { samples, ...figures } = result;
  const said = { hours, speed: values.speed ?? "60", looks: samples.length, ...figures, ...verdict };
  if (values.json === true) console.log(JSON.stringify(said));
  else {
    const { sent, acknowledged, seconds, peakMiB } = result;
    console.log(`run: ${acknowledged} of ${sent} messages in ${seconds.toFixed(0)} s, peak memory ${peakMiB} MiB`);
    for (const [figure, { early, late, flat }] of Object.entries(verdict.courses)) {
      console.log(
        `  ${figure}: ${early.toFixed(1)} after the warm-up, ${late.toFixed(1)} at the end${flat ? "" : ", not flat"}`,
      );
    }
    console.log(verdict.held ? "Held." : "Did not hold.");
  }
  return verdict.held ? 0 : 1;
}
