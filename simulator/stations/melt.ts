import { happening, marks, single, steady } from "../channel.ts";
import { cyclicStation, type Piece } from "../cyclic.ts";
import type { Happening, Station, Track } from "../emission.ts";
import type { FaultPlan } from "../faults.ts";
import type { PlantKey } from "../plant-layout.ts";
import { randomAt } from "../random.ts";
import type { Melt } from "../runs/melt.ts";
import type { Cycle } from "../schedule.ts";
import { type DipAt, dipReading, dipTracks } from "./dip.ts";

export const checkMs = 15_000;
const digitsOf: Readonly<Record<string, number>> = { p: 3, s: 3, mg: 3 };

/** What is tapped from a furnace in fromMs <= t < toMs. */
export type TapsOf = (
  fromMs: number,
  toMs: number,
) => readonly { tMs: number; ladle: string; heat: string; alloy: string }[];

/** The bath's thermocouple at 1 Hz, hourly checks by dip with what is sampled beside, and taps. */
export function furnaceStation(
  key: PlantKey,
  runs: Melt,
  taps: TapsOf,
  heatAt: (tMs: number) => string,
  faults: FaultPlan,
): Station {
  const { id, schedule, aluminium } = runs;
  const always = steady(key, id, [
    { role: "metal-t", unit: "Cel", everyMs: 1000, digits: 1, sd: 0.4, at: runs.seenCel },
  ]);
  const piece = ({ number, startMs, endMs }: Cycle): Piece => {
    const dip: DipAt = { station: id, number, tMs: startMs + 1000, metalCel: runs.bathCel(startMs) };
    const random = randomAt(key.seed, id, number, "sampled");
    const chemistry = Object.entries(runs.chemistry(number)).map(([element, percent], i): Track => {
      const digits = digitsOf[element] ?? 2;
      const seen = Math.max(0, percent * (1 + 0.01 * random.normal()));
      return single(id, `chem-${element}`, "%", digits, startMs + 12_500 + 100 * i, seen);
    });
    const hydrogen = runs.densityIndex(number) + 0.1 * random.normal();
    return {
      tracks: [
        ...dipTracks(key, dip, faults, dipReading(key, dip, faults)),
        ...chemistry,
        ...(aluminium ? [single(id, "density-index", "%", 1, startMs + 13_500, hydrogen)] : []),
      ],
      happenings: [
        ...marks(id, "check", startMs, startMs + checkMs, { heat: heatAt(startMs), alloy: runs.alloyAt(number) }),
        ...taps(startMs, endMs).map(({ tMs, ...attributes }): Happening => happening(id, "tap", tMs, 1, attributes)),
      ],
    };
  };
  return cyclicStation(id, schedule, piece, always);
}
