import { swell } from "../faults/swell.ts";
import type { Fault, FaultPlan } from "../faults.ts";
import type { Cycle } from "../schedule.ts";

const doorDropCel = 9;
export const doorTauMs = 240_000;
const recoverTauMs = 420_000;
const runawayPerMs = 2 / 60_000;
/** The thermostat that no control can override. */
const mechanicalLimitCel = 72;

/** Without its fan the oven layers: from one position to the next up to 3 K, within half an hour. */
export function stoppedFan(station: string, faults: FaultPlan): (tMs: number) => number {
  if (faults.all("fan-stop", station).length === 0) return () => 0;
  return (tMs) => swell(faults, "fan-stop", station, tMs, 30 * 60_000, 10 * 60_000);
}

/** What the faults that touch this cycle do to a temperature. */
export function upsets(
  station: string,
  faults: FaultPlan,
  cycle: Pick<Cycle, "startMs" | "endMs">,
): (tMs: number, cel: number) => number {
  const touching = (name: string): Fault[] =>
    faults.all(name, station).filter((f) => f.fromMs < cycle.endMs && f.toMs + 6 * recoverTauMs > cycle.startMs);
  const doors = touching("door-open");
  const runaways = touching("runaway");
  if (doors.length + runaways.length === 0) return (_, cel) => cel;
  return (tMs, cel) => {
    let now = cel;
    for (const f of doors) now -= doorDropCel * grown(f, tMs, (ms) => 1 - Math.exp(-ms / doorTauMs));
    for (const f of runaways) {
      now += grown(f, tMs, (ms) => Math.min(runawayPerMs * ms, Math.max(0, mechanicalLimitCel - cel)));
    }
    return now;
  };
}

/** Grows while the fault is on, dies away after it. */
export function grown(fault: Fault, tMs: number, growth: (ms: number) => number): number {
  if (tMs < fault.fromMs) return 0;
  if (tMs < fault.toMs) return growth(tMs - fault.fromMs);
  return growth(fault.toMs - fault.fromMs) * Math.exp(-(tMs - fault.toMs) / recoverTauMs);
}
