import { type Outcome, ok, refuse } from "../model/outcome.ts";
import { outside } from "./range.ts";

export type ThermocoupleType = "B" | "E" | "J" | "K" | "N" | "R" | "S" | "T";

/** Classes of IEC 60584-1 and grades of ASTM E230. */
export type ThermocoupleClass = "class-1" | "class-2" | "class-3" | "standard" | "special";

/** The greater of a fixed error and a share of the temperature in Cel; above `knee` grown as a line instead. */
interface ToleranceRow {
  readonly from: number;
  readonly to: number;
  readonly fixed: number;
  readonly share: number;
  readonly knee?: { readonly at: number; readonly slope: number };
}

const row = (from: number, to: number, fixed: number, share: number): ToleranceRow => ({ from, to, fixed, share });
const noble1: ToleranceRow = { ...row(0, 1600, 1, 0), knee: { at: 1100, slope: 0.003 } };

const rows: Readonly<Record<ThermocoupleType, Readonly<Partial<Record<ThermocoupleClass, ToleranceRow>>>>> = {
  B: {
    "class-2": row(600, 1700, 0, 0.0025),
    "class-3": row(600, 1700, 4, 0.005),
    standard: row(870, 1700, 0, 0.005),
    special: row(870, 1700, 0, 0.0025),
  },
  E: {
    "class-1": row(-40, 800, 1.5, 0.004),
    "class-2": row(-40, 900, 2.5, 0.0075),
    "class-3": row(-200, 40, 2.5, 0.015),
    standard: row(0, 870, 1.7, 0.005),
    special: row(0, 870, 1, 0.004),
  },
  J: {
    "class-1": row(-40, 750, 1.5, 0.004),
    "class-2": row(-40, 750, 2.5, 0.0075),
    standard: row(0, 760, 2.2, 0.0075),
    special: row(0, 760, 1.1, 0.004),
  },
  K: {
    "class-1": row(-40, 1000, 1.5, 0.004),
    "class-2": row(-40, 1200, 2.5, 0.0075),
    "class-3": row(-200, 40, 2.5, 0.015),
    standard: row(0, 1260, 2.2, 0.0075),
    special: row(0, 1260, 1.1, 0.004),
  },
  N: {
    "class-1": row(-40, 1000, 1.5, 0.004),
    "class-2": row(-40, 1200, 2.5, 0.0075),
    "class-3": row(-200, 40, 2.5, 0.015),
    standard: row(0, 1260, 2.2, 0.0075),
    special: row(0, 1260, 1.1, 0.004),
  },
  R: {
    "class-1": noble1,
    "class-2": row(0, 1600, 1.5, 0.0025),
    standard: row(0, 1450, 1.5, 0.0025),
    special: row(0, 1450, 0.6, 0.001),
  },
  S: {
    "class-1": noble1,
    "class-2": row(0, 1600, 1.5, 0.0025),
    standard: row(0, 1450, 1.5, 0.0025),
    special: row(0, 1450, 0.6, 0.001),
  },
  T: {
    "class-1": row(-40, 350, 0.5, 0.004),
    "class-2": row(-40, 350, 1, 0.0075),
    "class-3": row(-200, 40, 1, 0.015),
    standard: row(0, 370, 1, 0.0075),
    special: row(0, 370, 0.5, 0.004),
  },
};

/**
 * Tolerance of a thermocouple: how far a new one may read off; one in service drifts further.
 *
 * @shape   type and class as on its label; tCel: in the range that the standard gives that class
 * @unit    K, half-width
 * @method  the greater of a fixed error and a share of |t in Cel|; R and S of class 1: 1 K, above 1100 Cel
 *          1 + 0.003 (t - 1100)
 * @refuses `no-such-class` where the standard has none for that type (B of class 1, J of class 3, R and S of class 3);
 *          `temperature-out-of-range`
 * @cost    O(1)
 * @source  IEC 60584-1:2013 (tolerances, formerly IEC 60584-2) and ASTM E230, from memory and as two public tables
 *          print them; the standards were not opened. E230 prints R and S to 1480 Cel in one table and 1450 in another
 * @checked tests/reference/spc/physics/thermocouple.test.ts
 */
export function thermocoupleTolerance(type: ThermocoupleType, grade: ThermocoupleClass, tCel: number): Outcome<number> {
  const found = rows[type][grade];
  if (found === undefined) return refuse("no-such-class", `thermocouples of type ${type} have no ${grade}`);
  const { from, to, fixed, share, knee } = found;
  const what = `the tolerance of type ${type}, ${grade},`;
  const strange = outside("temperature-out-of-range", what, tCel, { from, to, unit: "Cel" });
  if (strange !== undefined) return strange;
  const above = knee === undefined ? 0 : knee.slope * Math.max(0, tCel - knee.at);
  return ok(Math.max(fixed, share * Math.abs(tCel)) + above);
}
