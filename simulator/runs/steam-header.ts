import { type Calendar, calendarOf, type LetDown, letDown } from "../calendar.ts";
import type { FaultPlan } from "../faults.ts";
import type { PlantKey } from "../plant-layout.ts";
import { walk } from "../walk.ts";

const stepMs = 30_000;
const healthyBar = 4.5;
const sagBar = 1.3;
const rampMs = 90_000;

/** Pressure of the one steam header that feeds all presses, bar gauge. */
export function steamHeader(key: PlantKey, faults: FaultPlan): (tMs: number) => number {
  const wander = walk(key, "HD-1", "header", 0.12, 600, stepMs);
  const calendar = calendarOf(key);
  return (tMs) => {
    const used = healthyBar + wander(tMs) - sag(faults, tMs) + priming(faults, tMs);
    return used - healthyBar * letDown(calendar, tMs, boiler) - coldLines(calendar, tMs);
  };
}

/** Lit two hours before the presses start. */
const boiler: LetDown = { fallMs: 40 * 60_000, riseMs: 20 * 60_000, beforeMs: 2 * 3_600_000 };
const coldBar = 0.35;
const coldTauMs = 15 * 60_000;

/** Whether the burner keeps the header up. */
export function boilerIsOn(calendar: Calendar, tMs: number): boolean {
  const free = calendar.free(tMs);
  return free === null || tMs >= free.toMs - boiler.beforeMs;
}

/** As the presses start after free days, their cold lines take steam: the header gives way for half an hour. */
function coldLines(calendar: Calendar, tMs: number): number {
  const free = calendar.free(tMs);
  return free === null || tMs < free.toMs ? 0 : coldBar * Math.exp(-(tMs - free.toMs) / coldTauMs);
}

const sawMs = 240_000;

/** The burner fires for a quarter of its four minutes and the header climbs; then it falls back slowly. */
export function burnerSaw(tMs: number): { readonly bar: number; readonly fires: boolean; readonly startMs: number } {
  const startMs = Math.floor(tMs / sawMs) * sawMs;
  const part = (tMs - startMs) / sawMs;
  const fires = part < 0.25;
  return { bar: fires ? -0.15 + 1.2 * part : 0.15 - 0.4 * (part - 0.25), fires, startMs };
}

/** Water carried over: the header swings within half a minute. */
function priming(faults: FaultPlan, tMs: number): number {
  const size = faults.size("priming", "BO-1", tMs);
  return size === 0 ? 0 : 0.4 * size * (Math.sin((2 * Math.PI * tMs) / 23_000) - 0.5);
}

/** Falls and comes back over a minute and a half each. */
function sag(faults: FaultPlan, tMs: number): number {
  const fault = faults.on("boiler-sag", "BO-1", tMs);
  if (fault === undefined) return 0;
  return sagBar * (fault.size ?? 1) * Math.min(1, (tMs - fault.fromMs) / rampMs, (fault.toMs - tMs) / rampMs);
}
