import { calendarOf } from "./calendar.ts";
import type { Fault } from "./faults.ts";
import type { PlantKey } from "./plant-layout.ts";
import { randomAt } from "./random.ts";

const slotMs = 4 * 3_600_000;
const minute = 60_000;
/** Share of the slots that hold a fault. */
const share = 0.7;

const candidates: readonly { name: string; stations: readonly string[]; lastsMs: number }[] = [
  { name: "boiler-sag", stations: ["BO-1"], lastsMs: 17 * minute },
  { name: "slow-valve", stations: ["PR-01", "PR-02", "PR-03", "PR-04"], lastsMs: 30 * minute },
  { name: "door-open", stations: ["DR-1", "DR-2", "DR-3"], lastsMs: 12 * minute },
  { name: "runaway", stations: ["AO-1"], lastsMs: 8 * minute },
  { name: "motor-out", stations: ["CT-A1", "CT-A2"], lastsMs: 45 * minute },
  { name: "loose-clamp", stations: ["CT-F1", "CT-F2"], lastsMs: 70 * minute },
  { name: "cold-metal", stations: ["PO-A"], lastsMs: 25 * minute },
];

/** Now and then something goes wrong: about one fault in six hours, the same ones for the same seed. */
export function occasionalFaults(key: PlantKey, fromMs: number, toMs: number): Fault[] {
  const faults: Fault[] = [];
  const { works } = calendarOf(key);
  const first = Math.ceil((fromMs - key.firstMs) / slotMs);
  for (let slot = first; key.firstMs + slot * slotMs < toMs; slot += 1) {
    const random = randomAt(key.seed, "plant", slot, "occasional");
    if (random.uniform() >= share) continue;
    const { name, stations, lastsMs } = pick(candidates, random.uniform());
    const begins = key.firstMs + slot * slotMs + Math.round(random.uniform() * (slotMs - lastsMs));
    // A plant that stands has nothing that could go wrong.
    if (!works(begins)) continue;
    faults.push({ name, station: pick(stations, random.uniform()), fromMs: begins, toMs: begins + lastsMs });
  }
  return faults;
}

function pick<T>(among: readonly T[], uniform: number): T {
  return among[Math.floor(uniform * among.length)] as T;
}
