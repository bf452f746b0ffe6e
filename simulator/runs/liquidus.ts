import { placeOf, startOf } from "../schedule.ts";
import { checkMs } from "../stations/melt.ts";
import type { Melt } from "./melt.ts";

type Chemistry = Readonly<Record<string, number>>;

/** Aluminium with silicon, Cel: silicon equivalent, coefficients from memory. */
function ofAluminium({ si = 0, cu = 0, mg = 0 }: Chemistry): number {
  return 660.452 - 6.11 * si - 0.057 * si * si - 3.4 * cu - 6 * mg;
}

/** Austenite in iron, Cel: Koriyama, Kanno, Iwami and Kang (2020), abstract. None above a carbon equivalent of 4.3 %. */
function ofIron({ c = 0, si = 0, mn = 0, p = 0, s = 0 }: Chemistry): number | null {
  return c + si / 3 > 4.3 ? null : 1625 - 110 * c - 25 * si + 3 * mn - 35 * p - 71 * s;
}

/** Where the metal of an alloy begins to freeze, as the newest check of it before a pour knows; null where nothing tells. */
export function liquidusCel(furnace: Melt, alloy: string, pouredMs: number): number | null {
  const { schedule, aluminium } = furnace;
  const newest = Math.ceil(placeOf(schedule, pouredMs)) + 1;
  for (let check = newest; check > newest - 26; check -= 1) {
    if (startOf(schedule, check) + checkMs > pouredMs || furnace.alloyAt(check) !== alloy) continue;
    const chemistry = furnace.chemistry(check);
    return aluminium ? ofAluminium(chemistry) : ofIron(chemistry);
  }
  return null;
}
