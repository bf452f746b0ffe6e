import { type Outcome, ok } from "../model/outcome.ts";
import { type ElementWeights, hypoeutectic, type IronChemistry, notAnalysed, weighed } from "./carbon-equivalent.ts";

/** A liquidus and what is to be printed beside it. */
export interface Liquidus {
  readonly cel: number;
  /** Name of the formula, as it was asked for. */
  readonly formula: string;
  /** The formula and where it is from, for people. */
  readonly source: string;
  /** Half-width where the source, or our memory of it, gives one; null where none is known. */
  readonly plusMinusK: number | null;
  /** Elements that the formula asks for and the analysis lacks; they counted as 0. */
  readonly notAnalysed: readonly string[];
  /** So close to the eutectic that opinions differ on which side of it the metal is. */
  readonly nearEutectic: boolean;
}

interface IronFormula {
  readonly base: number;
  readonly weights: ElementWeights;
  readonly source: string;
}

export type IronLiquidusFormula = "koriyama-2020" | "older-1669";

const formulas: Readonly<Record<IronLiquidusFormula, IronFormula>> = {
  "koriyama-2020": {
    base: 1625,
    weights: { c: -110, si: -25, mn: 3, p: -35, s: -71, ni: -2, cr: -7 },
    source: "1625 - 110 C - 25 Si + 3 Mn - 35 P - 71 S - 2 Ni - 7 Cr: Koriyama, Kanno, Iwami and Kang (2020), abstract",
  },
  "older-1669": {
    base: 1669,
    weights: { c: -124, si: -124 / 4, p: -124 / 2 },
    source: "1669 - 124 (C + Si/4 + P/2): widely used older form, from memory",
  },
};

/** All that can be chosen; the first is the one to take where nobody chose. */
export const ironLiquidusFormulas: readonly IronLiquidusFormula[] = ["koriyama-2020", "older-1669"];

/**
 * Liquidus of austenite in cast iron: where the first metal freezes on the way down. Formulas differ by 13 to 15 K, so
 * the one that was used stands beside the number.
 *
 * @shape   chemistry: mass per cent as in `ironOf`, C and Si at least; formula by name
 * @unit    Cel
 * @method  linear in the elements; see the formulas' `source`
 * @refuses `hypereutectic` above a carbon equivalent C + Si/3 of 4.3 %; `composition-out-of-range`
 * @cost    O(1)
 * @source  Koriyama, Kanno, Iwami and Kang, Int. J. Metalcasting (2020), abstract; older form from memory
 * @checked tests/reference/spc/physics/liquidus-iron.test.ts
 */
export function ironLiquidus(chemistry: IronChemistry, formula: IronLiquidusFormula): Outcome<Liquidus> {
  const iron = hypoeutectic(chemistry);
  if (!iron.ok) return iron;
  const { base, weights, source } = formulas[formula];
  return ok({
    cel: base + weighed(chemistry, weights),
    formula,
    source,
    plusMinusK: null,
    notAnalysed: notAnalysed(chemistry, weights),
    nearEutectic: iron.value.nearEutectic,
  });
}
