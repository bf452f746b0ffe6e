import { dayMs, offsetAt, type ZoneOffsets } from "../../spc/segment/clock-slot.ts";
import { instantMs } from "./instant.ts";

const yearFirst = /^(\d{4}-\d\d-\d\d)[T ](\d\d:\d\d)(:\d\d)?(?:[.,](\d+))?$/;
const dayFirst = /^(\d\d)\.(\d\d)\.(\d{4}) (\d\d:\d\d)(:\d\d)?(?:[.,](\d+))?$/;

/**
 * Instants that a zone's clocks showed `2026-11-25 08:05:12.345` or `25.11.2026 08:05:12` at: one, none in the hour that is
 * skipped in spring, two in the one that comes twice in autumn. Undefined for a text that is no such time.
 */
export function localInstants(text: string, zone: ZoneOffsets): readonly number[] | undefined {
  const asUtc = asUtcMs(text);
  if (asUtc === undefined) return undefined;
  // No zone changes its clocks twice within these two days.
  const offsets = new Set([offsetAt(asUtc - dayMs, zone), offsetAt(asUtc + dayMs, zone)]);
  return [...offsets]
    .map((offsetMs) => ({ tMs: asUtc - offsetMs, offsetMs }))
    .filter(({ tMs, offsetMs }) => offsetAt(tMs, zone) === offsetMs)
    .map(({ tMs }) => tMs)
    .sort((a, b) => a - b);
}

/** As if the zone were UTC. */
function asUtcMs(text: string): number | undefined {
  const year = yearFirst.exec(text);
  if (year !== null) return instantOf(year[1]!, year[2]!, year[3], year[4]);
  const day = dayFirst.exec(text);
  return day === null ? undefined : instantOf(`${day[3]}-${day[2]}-${day[1]}`, day[4]!, day[5], day[6]);
}

function instantOf(date: string, minute: string, second = ":00", fraction = "0"): number | undefined {
  return instantMs(`${date}T${minute}${second}.${fraction}Z`);
}
