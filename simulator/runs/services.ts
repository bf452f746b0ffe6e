import { calendarOf, letDown } from "../calendar.ts";
import { swell } from "../faults/swell.ts";
import type { FaultPlan } from "../faults.ts";
import type { PlantKey } from "../plant-layout.ts";
import { localHour } from "../site-clock.ts";
import { walk } from "../walk.ts";

const minute = 60_000;
const hour = 60 * minute;
const yearMs = 365.25 * 24 * hour;
/** Twentieth of January: the coldest day. */
const coldestMs = Date.UTC(2026, 0, 20);

/** What every part of the plant stands in: weather, cooling water, sand. Functions of the time alone. */
export interface Services {
  ambientCel(tMs: number): number;
  dewCel(tMs: number): number;
  barometerHpa(tMs: number): number;
  /** Cooling water of the presses, Cel. */
  coolingWaterCel(tMs: number): number;
  /** Sand at the hopper outlet, Cel. */
  sandCel(tMs: number): number;
  sandInCel(tMs: number): number;
  coolerWaterCel(tMs: number): number;
  finesPercent(tMs: number): number;
  lossOnIgnitionPercent(tMs: number): number;
}

/** -1 in the depth of winter, 1 at the height of summer. */
export function season(tMs: number): number {
  return -Math.cos((2 * Math.PI * (tMs - coldestMs)) / yearMs);
}

export function services(key: PlantKey, faults: FaultPlan): Services {
  const air = walk(key, "WX-1", "ambient", 2.5, 86_400, 30 * minute);
  const wet = walk(key, "WX-1", "dew", 2.5, 86_400, 30 * minute);
  const weight = walk(key, "WX-1", "barometer", 7, 172_800, hour);
  const water = walk(key, "HD-1", "cooling-water", 0.6, 7200, 10 * minute);
  const sand = walk(key, "SC-1", "sand", 2.5, 10_800, 10 * minute);
  const fines = walk(key, "SC-1", "fines", 0.08, 5 * 86_400, 4 * hour);
  const loss = walk(key, "SC-1", "loss-on-ignition", 0.03, 5 * 86_400, 4 * hour);
  const rise = (tMs: number): number => faults.grown("summer-rise", "WX-1", tMs) / 4;
  const waterOff = (tMs: number): number => swell(faults, "cooler-water-off", "SC-1", tMs, 30 * minute, 40 * minute);
  /** Warmest in the afternoon, and then more in summer. */
  const afternoon = (tMs: number): number => Math.max(0, Math.sin((Math.PI * (localHour(tMs) - 9)) / 12));
  const calendar = calendarOf(key);
  /** Sand that nobody moves cools in its hopper; that of the first flasks is still cold. */
  const stood = (tMs: number): number => letDown(calendar, tMs, { fallMs: 10 * hour, riseMs: 1.5 * hour, beforeMs: 0 });
  const sandCel = (tMs: number): number =>
    38 -
    18 * stood(tMs) +
    sand(tMs) +
    6 * Math.max(0, season(tMs)) * afternoon(tMs) +
    6 * rise(tMs) +
    15 * waterOff(tMs);
  return {
    ambientCel: (t) => 10 + 10 * season(t) + 5 * (afternoon(t) - 0.4) + air(t) + 6 * rise(t),
    dewCel: (t) => 8 + 5 * season(t) + wet(t) + 6 * rise(t),
    barometerHpa: (t) => 976 + weight(t),
    coolingWaterCel: (t) => {
      const peak = Math.max(0, Math.sin((Math.PI * (localHour(t) - 8)) / 8));
      return 24 + water(t) + 0.8 * peak + 6 * swell(faults, "chiller-off", "BO-1", t, 20 * minute, 15 * minute);
    },
    sandCel,
    sandInCel: (t) => 78 - 55 * stood(t) + 2 * sand(t) + 4 * waterOff(t),
    coolerWaterCel: (t) => 21 + 4 * season(t) + 14 * waterOff(t),
    finesPercent: (t) => 0.7 + fines(t) + 0.4 * faults.size("dust-collector-blocked", "SC-1", t),
    lossOnIgnitionPercent: (t) => 0.18 + loss(t),
  };
}
