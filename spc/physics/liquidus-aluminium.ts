import { type Outcome, ok, refuse } from "../model/outcome.ts";
import type { Liquidus } from "./liquidus-iron.ts";
import { outside, shown } from "./range.ts";

/** Chemistry of an aluminium casting alloy, mass per cent; what was not analysed stays out. */
export interface AluminiumChemistry {
  readonly si: number;
  readonly cu?: number;
  readonly mg?: number;
  readonly fe?: number;
  readonly zn?: number;
}

type Element = keyof AluminiumChemistry;

/** Melting point of aluminium, in Cel, and the line of the two-component alloy with silicon. */
const pure = 660.452;
const bySilicon = { first: 6.11, second: 0.057 };
/** Further elements, in K a mass per cent. */
const others = { cu: 3.4, mg: 6, fe: 3, zn: 1.6 } as const;
/** What casting alloys with silicon as their first element hold; common practice, no source. */
const ranges: Readonly<Record<Element, readonly [number, number]>> = {
  si: [0, 12],
  cu: [0, 5],
  mg: [0, 1],
  fe: [0, 1.5],
  zn: [0, 3],
};
/** Silicon, or what does as much, up to which aluminium freezes first. */
const largestEquivalent = 12;

/**
 * Silicon equivalent of an aluminium alloy: the silicon that alone would lower the liquidus as far as all elements do.
 *
 * @shape   chemistry: mass per cent, Si at least; an element that is not given counts as 0
 * @unit    % by mass
 * @method  the line of aluminium and silicon, 660.452 - 6.11 x - 0.057 x^2, solved for x at the alloy's liquidus
 * @refuses `composition-out-of-range`
 * @cost    O(1)
 * @source  method: Djurdjevic et al., Adv. Mat. Sci. Eng. 2013, 170527, abstract; coefficients from memory
 * @checked tests/reference/spc/physics/liquidus-aluminium.test.ts
 */
export function siliconEquivalent(chemistry: AluminiumChemistry): Outcome<number> {
  const drop = dropOf(chemistry);
  return drop.ok ? ok(siliconOf(drop.value)) : drop;
}

/**
 * Liquidus of an aluminium alloy with silicon: where the first metal freezes on the way down.
 *
 * @shape   chemistry: mass per cent, Si 0 to 12 at least, Cu to 5, Mg to 1, Fe to 1.5, Zn to 3
 * @unit    Cel, +-6 K
 * @method  660.452 - 6.11 Si - 0.057 Si^2 - 3.4 Cu - 6 Mg - 3 Fe - 1.6 Zn
 * @refuses `composition-out-of-range`; `hypereutectic` above a silicon equivalent of 12 %, where silicon freezes first
 * @cost    O(1)
 * @source  silicon equivalent: Djurdjevic et al. (2013), abstract; coefficients and +-6 K from memory
 * @checked tests/reference/spc/physics/liquidus-aluminium.test.ts
 */
export function aluminiumLiquidus(chemistry: AluminiumChemistry): Outcome<Liquidus> {
  const drop = dropOf(chemistry);
  if (!drop.ok) return drop;
  const equivalent = siliconOf(drop.value);
  if (equivalent > largestEquivalent * (1 + 1e-12)) {
    const detail = `a silicon equivalent of ${shown(equivalent)} % is too near the eutectic, so the liquidus is not that of aluminium`;
    return refuse("hypereutectic", detail, { needs: largestEquivalent, has: equivalent });
  }
  return ok({
    cel: pure - drop.value,
    formula: "silicon-equivalent",
    source: "660.452 - 6.11 Si - 0.057 Si^2 - 3.4 Cu - 6 Mg - 3 Fe - 1.6 Zn: coefficients from memory, +-6 K",
    plusMinusK: 6,
    notAnalysed: (Object.keys(others) as (keyof typeof others)[])
      .filter((element) => chemistry[element] === undefined)
      .map((element) => nameOf(element)),
    nearEutectic: false,
  });
}

/** How far below pure aluminium the liquidus lies, in K. */
function dropOf(chemistry: AluminiumChemistry): Outcome<number> {
  for (const element of Object.keys(ranges) as Element[]) {
    const percent = chemistry[element];
    if (percent === undefined && element !== "si") continue;
    const [from, to] = ranges[element];
    const range = { from, to, unit: `% of ${nameOf(element)}` };
    const strange = outside("composition-out-of-range", "an aluminium alloy", percent ?? Number.NaN, range);
    if (strange !== undefined) return strange;
  }
  const { si } = chemistry;
  let drop = bySilicon.first * si + bySilicon.second * si * si;
  for (const element of Object.keys(others) as (keyof typeof others)[]) {
    drop += others[element] * (chemistry[element] ?? 0);
  }
  return ok(drop);
}

function siliconOf(drop: number): number {
  const { first, second } = bySilicon;
  // The root that does not take two nearly equal numbers from each other.
  return (2 * drop) / (first + Math.sqrt(first * first + 4 * second * drop));
}

function nameOf(element: string): string {
  return element[0]!.toUpperCase() + element.slice(1);
}
