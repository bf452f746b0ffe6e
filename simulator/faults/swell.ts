import type { FaultPlan } from "../faults.ts";

/** What a fault has come to by then: it grows evenly to its size over `riseMs`, stays, and dies away after its end. */
export function swell(
  faults: FaultPlan,
  name: string,
  station: string,
  tMs: number,
  riseMs: number,
  fallMs: number,
): number {
  let sum = 0;
  for (const { fromMs, toMs, size = 1 } of faults.all(name, station)) {
    if (tMs < fromMs || tMs > toMs + 6 * fallMs) continue;
    const grown = Math.min(1, (Math.min(tMs, toMs) - fromMs) / riseMs);
    sum += size * grown * (tMs < toMs ? 1 : Math.exp(-(tMs - toMs) / fallMs));
  }
  return sum;
}
