import { calendarOf } from "./calendar.ts";
import { readFault } from "./fault-words.ts";
import type { Fault } from "./faults.ts";
import type { PlantKey } from "./plant-layout.ts";

/**
 * Thirty days in the life of the plant, in the words of `--fault`; day 1 begins at the plant's first instant. Begun 23 days
 * before the last Sunday of March or October, clocks change on day 24: nothing is switched on for that.
 */
export const thirtyDays: readonly string[] = [
  "boiler-sag@BO-1@2d4h+17min",
  "valve-wear@PR-03@4d+5d",
  "weak-air@DR-2@5d16h+7h",
  "door-open@DR-1@7d6h+22min",
  "thermocouple-drift@AO-1@9d+20d",
  "bead-lot@PX-2@10d",
  "motor-out@CT-A1@11d4h+4h30min",
  "loose-clamp@CT-F2@13d2h+6h",
  "outage@GW-CT@14d7h+40min",
  "pyrometer-soot@PO-F@15d+5d",
  "cold-ladle@PO-F@16d7h+2h10min",
  "stuck-pressure@PR-01@17d3h+3h",
  "cold-ladle@PO-F@17d7h+2h10min",
  "desiccant-exhausted@DR-3@18d2h+9h",
  "cold-ladle@PO-F@18d7h+2h10min",
  "cooler-water-off@SC-1@20d5h+90min",
  "inspector-change@IN-1@25d",
  "summer-rise@WX-1@26d+4d",
];

/** Day 22: the launch, which is no fault. */
export const launchDayMs: number = 21 * 86_400_000;

export function thirtyDayFaults(key: PlantKey): Fault[] {
  const { works, free } = calendarOf(key);
  return thirtyDays.map((words) => {
    const read = readFault(words, key.firstMs);
    if (!read.ok) throw new RangeError(read.mistake);
    const { fromMs, toMs } = read.fault;
    if (works(fromMs)) return read.fault;
    // What falls into free time, when nothing could show it, happens as the next shift begins.
    const laterMs = free(fromMs)!.toMs - fromMs;
    return { ...read.fault, fromMs: fromMs + laterMs, toMs: toMs + laterMs };
  });
}
