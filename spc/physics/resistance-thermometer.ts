import { type Outcome, ok } from "../model/outcome.ts";
import { outside } from "./range.ts";

export type ResistanceClass = "AA" | "A" | "B" | "C";
export type ResistanceKind = "wire-wound" | "film";

const rows: Readonly<
  Record<
    ResistanceClass,
    { readonly fixed: number; readonly share: number } & Readonly<Record<ResistanceKind, readonly [number, number]>>
  >
> = {
  AA: { fixed: 0.1, share: 0.0017, "wire-wound": [-50, 250], film: [0, 150] },
  A: { fixed: 0.15, share: 0.002, "wire-wound": [-100, 450], film: [-30, 300] },
  B: { fixed: 0.3, share: 0.005, "wire-wound": [-196, 600], film: [-50, 500] },
  C: { fixed: 0.6, share: 0.01, "wire-wound": [-196, 600], film: [-50, 600] },
};

/**
 * Tolerance of a platinum resistance thermometer (Pt100): how far a new one may read off.
 *
 * @shape   class and kind as on its label; tCel: in the range that the standard gives both
 * @unit    K, half-width
 * @method  fixed + share |t in Cel|: AA 0.1 + 0.0017, A 0.15 + 0.002, B 0.3 + 0.005, C 0.6 + 0.01
 * @refuses `temperature-out-of-range`
 * @cost    O(1)
 * @source  IEC 60751:2008, tolerances as public tables print them, temperature ranges from memory; it was not opened
 * @checked tests/reference/spc/physics/resistance-thermometer.test.ts
 */
export function resistanceTolerance(grade: ResistanceClass, kind: ResistanceKind, tCel: number): Outcome<number> {
  const { fixed, share, [kind]: range } = rows[grade];
  const what = `the tolerance of a ${kind} thermometer of class ${grade}`;
  const [from, to] = range;
  return (
    outside("temperature-out-of-range", what, tCel, { from, to, unit: "Cel" }) ?? ok(fixed + share * Math.abs(tCel))
  );
}
