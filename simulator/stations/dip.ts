import { single } from "../channel.ts";
import type { Track } from "../emission.ts";
import type { FaultPlan } from "../faults.ts";
import type { PlantKey } from "../plant-layout.ts";
import { quickNormal, randomAt } from "../random.ts";

const everyMs = 100;
const inMetalMs = 9000;
const liftMs = 2000;
const coolCel = 30;
const missedShare = 0.03;

export interface DipAt {
  readonly station: string;
  readonly number: number;
  readonly tMs: number;
  /** What the metal has, Cel. */
  readonly metalCel: number;
}

/** What the tip's own tolerance makes of the metal, and whether it reached a plateau at all. */
function tipOf(key: PlantKey, { station, number, tMs, metalCel }: DipAt, faults: FaultPlan) {
  const random = randomAt(key.seed, station, number, "dip");
  const tau = 0.7 + 0.5 * random.uniform();
  const wet = 25 * faults.size("wet-tip", station, tMs);
  const cel = metalCel + 2 * random.normal() - wet;
  const missed = random.uniform() < missedShare || faults.on("no-plateau", station, tMs) !== undefined;
  return { tau, cel, wet, inMs: missed ? 1800 : inMetalMs };
}

/** The instrument's reading: none where the tip came out before it had settled. */
export function dipReading(key: PlantKey, dip: DipAt, faults: FaultPlan): number | null {
  const { cel, inMs } = tipOf(key, dip, faults);
  return inMs === inMetalMs ? Math.round(cel) : null;
}

/** A dip: the tip warms up, stands on its plateau, and cools once it is lifted out; then the instrument's reading. */
export function dipTracks(key: PlantKey, dip: DipAt, faults: FaultPlan, shown: number | null): Track[] {
  const { station, number, tMs } = dip;
  const { tau, cel, wet, inMs } = tipOf(key, dip, faults);
  const noise = quickNormal(randomAt(key.seed, station, number, "dip-trace"));
  const values = new Float64Array((inMs + liftMs) / everyMs);
  let now = coolCel;
  for (let i = 0; i < values.length; i += 1) {
    const seconds = (i * everyMs) / 1000;
    now =
      i * everyMs < inMs
        ? cel - (cel - coolCel) * Math.exp(-seconds / tau)
        : coolCel + (now - coolCel) * Math.exp(-everyMs / 1000 / 1.5);
    // A wet tip boils: it never reads steadily.
    values[i] = now + (0.4 + 0.2 * wet) * noise();
  }
  const trace = { series: `${station}/dip`, unit: "Cel", digits: 1, startMs: tMs, everyMs, values };
  return shown === null ? [trace] : [trace, single(station, "dip-reading", "Cel", 0, tMs + inMetalMs + 500, shown)];
}
