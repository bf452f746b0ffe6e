import { calendarOf } from "./calendar.ts";
import { randomAt } from "./random.ts";
import type { Model } from "./runs/model.ts";
import { placeOf, startOf } from "./schedule.ts";
import { type Shift, shiftAt } from "./site-clock.ts";
import { weighedCluster, weighSchedule } from "./stations/coating.ts";

/** What a person measured beside the gateways, and writes down by the form. */
export interface Handwritten {
  readonly station: string;
  /** Account of who writes it. */
  readonly by: string;
  readonly takenMs: number;
  readonly feature: string;
  readonly unit: string;
  readonly values: readonly number[];
}

const minute = 60_000;

/** Once a shift, each some minutes after its start; in the order in which it was taken. */
export function handwritten(model: Model, fromMs: number, toMs: number): Handwritten[] {
  const { works } = calendarOf(model.key);
  const written: Handwritten[] = [];
  for (let shift = shiftAt(fromMs); shift.startMs < toMs; shift = shiftAt(shift.endMs)) {
    if (works(shift.startMs)) written.push(...ofShift(model, shift));
  }
  return written.filter(({ takenMs }) => fromMs <= takenMs && takenMs < toMs);
}

function ofShift(model: Model, { name, startMs }: Shift): Handwritten[] {
  const { key, beads, tanks, dips, furnaces } = model;
  const one = (
    ...[station, feature, unit, afterMinutes, digits, sd, of]: readonly [
      station: string,
      feature: string,
      unit: string,
      afterMinutes: number,
      digits: number,
      sd: number,
      of: (takenMs: number) => readonly number[],
    ]
  ): Handwritten => {
    const takenMs = startMs + afterMinutes * minute;
    const random = randomAt(key.seed, station, Math.round(takenMs / minute), "by hand");
    const values = of(takenMs).map((value) => Number((value + sd * random.normal()).toFixed(digits)));
    return { station, by: `${name}-lead`, takenMs, feature, unit, values };
  };
  return [
    ...Object.values(beads).map((from) =>
      one(from.id, "hand.density", "g/L", 35, 1, 0.12, (t) => {
        const gL = from.density(Math.floor(placeOf(from.schedule, t)));
        return [gL, gL, gL];
      }),
    ),
    ...Object.values(tanks).map((tank) => one(tank.id, "hand.viscosity", "s", 50, 1, 0.4, (t) => [tank.viscosity(t)])),
    one("FU-A1", "hand.density_index", "%", 65, 1, 0.1, (t) => {
      const furnace = furnaces.get("FU-A1")!;
      return [furnace.densityIndex(Math.floor(placeOf(furnace.schedule, t)))];
    }),
    one("CW-1", "hand.coat", "g/dm2", 80, 1, 0.1, (t) => {
      const bench = weighSchedule(key);
      const last = Math.floor(placeOf(bench, t));
      return [dips.coat(weighedCluster(startOf(bench, last) > t ? last - 1 : last))];
    }),
  ];
}
