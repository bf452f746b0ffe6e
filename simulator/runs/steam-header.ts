import type { FaultPlan } from "../faults.ts";
import { ornsteinUhlenbeck } from "../ornstein-uhlenbeck.ts";
import { memoryMs, type PlantKey } from "../plant-layout.ts";
import { randomAt } from "../random.ts";

const stepMs = 30_000;
const healthyBar = 4.5;
const sagBar = 1.3;
const rampMs = 90_000;

/** Pressure of the one steam header that feeds all presses, bar gauge. */
export function steamHeader(key: PlantKey, faults: FaultPlan): (tMs: number) => number {
  const walk = ornsteinUhlenbeck(randomAt(key.seed, "HD-1", 0, "header"), 0.12, 600, stepMs / 1000);
  const known: number[] = [];
  const startMs = key.firstMs - memoryMs;
  return (tMs) => {
    const index = Math.floor((tMs - startMs) / stepMs);
    while (known.length <= index) known.push(walk());
    return healthyBar + (known[index] as number) - sag(faults, tMs);
  };
}

/** Falls and comes back over a minute and a half each. */
function sag(faults: FaultPlan, tMs: number): number {
  const fault = faults.on("boiler-sag", "BO-1", tMs);
  if (fault === undefined) return 0;
  return sagBar * Math.min(1, (tMs - fault.fromMs) / rampMs, (fault.toMs - tMs) / rampMs);
}
