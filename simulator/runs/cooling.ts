import type { FaultPlan } from "../faults.ts";
import { autoregressive } from "../ornstein-uhlenbeck.ts";
import { earliestRun, type PlantKey } from "../plant-layout.ts";
import { randomAt } from "../random.ts";
import { startOf } from "../schedule.ts";
import type { IronPours } from "./iron-pour.ts";
import { ladleOfFlask } from "./iron-pour.ts";
import type { PourRuns } from "./pour.ts";

const minute = 60_000;

/** A poured flask on its way to the dump. */
export interface Cooling {
  readonly flask: string;
  readonly cluster: number;
  readonly part: string;
  readonly pourEndMs: number;
  readonly dumpMs: number;
  readonly castingCel: number;
  readonly holdMs: number;
}

export interface CoolingLine {
  readonly id: "CO-A" | "CO-F";
  readonly shakeout: "SK-A" | "SK-F";
  /** The flasks of one cycle of the pour station: one of aluminium, eight of iron. */
  flasks(cycle: number): readonly Cooling[];
}

export const longestCoolingMs = { "CO-A": 75 * minute, "CO-F": 150 * minute } as const;

export function aluminiumCooling(key: PlantKey, pours: PourRuns, faults: FaultPlan): CoolingLine {
  const id = "CO-A";
  // Neighbours cool for about as long as each other: flasks are dumped in the order in which they were poured.
  const wander = autoregressive(randomAt(key.seed, id, 0, "minutes"), 0.92, 4, earliestRun(pours.schedule.periodMs));
  const flasks = (number: number): Cooling[] => {
    const { flask, cluster, part, lastsMs, firstCel } = pours.pour(number);
    const pourEndMs = startOf(pours.schedule, number) + lastsMs;
    const early = 12 * faults.size("early-shakeout", id, pourEndMs);
    const minutes = Math.max(20, 38 + wander(number)) - early;
    const dumpMs = pourEndMs + Math.round(minutes * minute);
    const castingCel = (firstCel - 430) * Math.exp(-(minutes - 38) / 60);
    return [{ flask, cluster, part: part.id, pourEndMs, dumpMs, castingCel, holdMs: 0 }];
  };
  return { id, shakeout: "SK-A", flasks };
}

export function ironCooling(key: PlantKey, pours: IronPours, faults: FaultPlan): CoolingLine {
  const id = "CO-F";
  const flasks = (number: number): Cooling[] => {
    const random = randomAt(key.seed, id, number, "minutes");
    const ladleMinutes = Math.min(110, Math.max(70, 90 + 8 * random.normal()));
    return pours.ladle(number).pours.map(({ flask, cluster, part, startMs, lastsMs, firstCel }) => {
      const pourEndMs = startMs + lastsMs;
      const minutes = ladleMinutes - 12 * faults.size("early-shakeout", id, pourEndMs);
      const castingCel = (firstCel - 750) * Math.exp(-(minutes - 90) / 150);
      const holdMs = Math.round((10 + 0.7 * random.normal()) * minute);
      return {
        flask,
        cluster,
        part: part.id,
        pourEndMs,
        dumpMs: pourEndMs + Math.round(minutes * minute),
        castingCel,
        holdMs,
      };
    });
  };
  return { id, shakeout: "SK-F", flasks };
}

/** The flask's own cooling. */
export function coolingOfFlask(line: CoolingLine, ordinal: number): Cooling {
  if (line.id === "CO-A") return line.flasks(ordinal + 8)[0] as Cooling;
  const { ladle, position } = ladleOfFlask(ordinal);
  return line.flasks(ladle)[position] as Cooling;
}
