import { runTrack } from "../channel.ts";
import type { Track } from "../emission.ts";
import type { PlantKey } from "../plant-layout.ts";
import { randomAt } from "../random.ts";

const everyMs = 100;
const fallPerSecond = 0.4;
const rippleKelvin = 1.5;

export interface Stream {
  readonly station: string;
  readonly number: number;
  readonly startMs: number;
  readonly lastsMs: number;
  readonly firstCel: number;
  readonly massKg: number;
  readonly gapMs: number;
}

/** The pyrometer on the stream and the mass poured so far. */
export function streamTracks(key: PlantKey, pour: Stream, sootKelvin: number): Track[] {
  const { station, number, startMs, lastsMs, firstCel } = pour;
  const random = randomAt(key.seed, station, number, "trace");
  const values = new Float64Array(Math.ceil(lastsMs / everyMs));
  for (let i = 0; i < values.length; i += 1) {
    values[i] = firstCel - sootKelvin - fallPerSecond * ((i * everyMs) / 1000) + rippleKelvin * random.normal();
  }
  return [
    { series: `${station}/stream`, unit: "Cel", digits: 1, startMs, everyMs, values },
    runTrack(
      key,
      station,
      number,
      {
        role: "mass",
        unit: "kg",
        everyMs,
        digits: 2,
        sd: 0.01,
        range: [0, 1000],
        at: (t) => poured(pour, t - startMs),
      },
      startMs,
      lastsMs,
    ),
  ];
}

/** The rate rises for half a second, stays, and falls for half a second; amid the pour it may stop. */
function poured({ lastsMs, massKg, gapMs }: Stream, afterMs: number): number {
  const flowing = lastsMs - gapMs;
  const stopsAt = 0.55 * flowing;
  const t = afterMs < stopsAt ? afterMs : Math.max(stopsAt, afterMs - gapMs);
  const ramp = 500;
  const full = massKg / (flowing - ramp);
  if (t < ramp) return (full * t * t) / (2 * ramp);
  if (t < flowing - ramp) return full * (t - ramp / 2);
  const left = Math.max(0, flowing - t);
  return massKg - (full * left * left) / (2 * ramp);
}
