import { ornsteinUhlenbeck } from "./ornstein-uhlenbeck.ts";
import { memoryMs, type PlantKey } from "./plant-layout.ts";
import { randomAt } from "./random.ts";

/** A slow value at any moment of the plant's life, around zero. */
export type Walk = (tMs: number) => number;

/**
 * An Ornstein-Uhlenbeck walk on a grid from the plant's memory on, straight between: exact at the grid's instants. The
 * grid must be fine beside `tauSeconds`.
 */
export function walk(
  key: PlantKey,
  place: string,
  purpose: string,
  sigma: number,
  tauSeconds: number,
  stepMs: number,
): Walk {
  const next = ornsteinUhlenbeck(randomAt(key.seed, place, 0, purpose), sigma, tauSeconds, stepMs / 1000);
  const startMs = key.firstMs - memoryMs;
  let known = new Float64Array(4096);
  let count = 0;
  return (tMs) => {
    const at = Math.max(0, (tMs - startMs) / stepMs);
    const index = Math.floor(at);
    if (index + 1 >= known.length) {
      const longer = new Float64Array(2 * (index + 2));
      longer.set(known);
      known = longer;
    }
    while (count <= index + 1) {
      known[count] = next();
      count += 1;
    }
    const before = known[index] as number;
    return before + (at - index) * ((known[index + 1] as number) - before);
  };
}
