import { remembering } from "./emission.ts";
import type { PlantKey } from "./plant-layout.ts";
import { type Random, randomAt } from "./random.ts";

/** A slow value at any moment of the plant's life, around zero. */
export type Walk = (tMs: number) => number;

/** Steps of the grid that are drawn together. */
const blockSteps = 2048;

/**
 * An Ornstein-Uhlenbeck walk on a grid, straight between. It is drawn block by block, each from its own beginning and
 * bent so that it ends where the next one begins: any moment costs one block, whatever came before. A block must be long
 * beside `tauSeconds`, and the grid fine.
 */
export function walk(
  key: PlantKey,
  place: string,
  purpose: string,
  sigma: number,
  tauSeconds: number,
  stepMs: number,
): Walk {
  const steps = Math.max(blockSteps, Math.ceil((12 * tauSeconds * 1000) / stepMs));
  const keep = Math.exp(-stepMs / 1000 / tauSeconds);
  const blockOf = remembering((block) => {
    const random = randomAt(key.seed, place, block, purpose);
    const next = randomAt(key.seed, place, block + 1, purpose);
    return bent(random, sigma * next.normal(), sigma, keep, steps);
  }, 6);
  return (tMs) => {
    const at = tMs / stepMs;
    const index = Math.floor(at);
    const block = Math.floor(index / steps);
    const values = blockOf(block);
    const place = index - block * steps;
    const before = values[place] as number;
    return before + (at - index) * ((values[place + 1] as number) - before);
  };
}

/** A block with one value more than it has steps: that one is `end`. */
function bent(random: Random, end: number, sigma: number, keep: number, steps: number): Float64Array {
  const kick = sigma * Math.sqrt(1 - keep * keep);
  const values = new Float64Array(steps + 1);
  values[0] = sigma * random.normal();
  for (let i = 1; i <= steps; i += 1) values[i] = keep * (values[i - 1] as number) + kick * random.normal();
  let off = end - (values[steps] as number);
  for (let i = steps; i > 0 && Math.abs(off) > 1e-9; i -= 1) {
    values[i] = (values[i] as number) + off;
    off *= keep;
  }
  return values;
}
