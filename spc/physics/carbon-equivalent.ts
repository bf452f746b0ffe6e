import { type Outcome, ok, refuse } from "../model/outcome.ts";
import { outside, shown } from "./range.ts";

/** Chemistry of an iron, mass per cent; what was not analysed stays out. */
export interface IronChemistry {
  readonly c: number;
  readonly si: number;
  readonly mn?: number;
  readonly p?: number;
  readonly s?: number;
  readonly ni?: number;
  readonly cr?: number;
}

export type IronElement = keyof IronChemistry;

/** Coefficient of each element, in K a mass per cent or in per cent of carbon. */
export type ElementWeights = Readonly<Partial<Record<IronElement, number>>>;

/** What cast irons hold; common practice, no source. Beyond it, no formula here was meant. */
const ranges: Readonly<Record<IronElement, readonly [number, number]>> = {
  c: [2.1, 4.5],
  si: [0.5, 4.5],
  mn: [0, 1.5],
  p: [0, 0.5],
  s: [0, 0.2],
  ni: [0, 2],
  cr: [0, 1],
};

export type CarbonEquivalentForm = "solubility" | "liquidus-2020" | "liquidus-older";

const equivalents: Readonly<Record<CarbonEquivalentForm, ElementWeights>> = {
  /** By the solubility of carbon: what decides whether an iron is hypereutectic. */
  solubility: { c: 1, si: 1 / 3 },
  /** By the liquidus, 2020. */
  "liquidus-2020": { c: 1, si: 0.23, mn: -0.03, p: 0.32, s: 0.64, ni: 0.02, cr: 0.06 },
  /** By the liquidus, the older form. */
  "liquidus-older": { c: 1, si: 1 / 4, p: 1 / 2 },
};

/**
 * Checks that a chemistry is one of a cast iron.
 *
 * @shape   chemistry: mass per cent; C and Si must be there
 * @unit    none: the chemistry as given
 * @method  each element that is given within C 2.1 to 4.5, Si 0.5 to 4.5, Mn to 1.5, P to 0.5, S to 0.2, Ni to 2, Cr to 1
 * @refuses `composition-out-of-range`, also for a value that is no number
 * @cost    O(1)
 * @source  common practice, no source
 * @checked tests/reference/spc/physics/liquidus-iron.test.ts
 */
export function ironOf(chemistry: IronChemistry): Outcome<IronChemistry> {
  for (const element of Object.keys(ranges) as IronElement[]) {
    const percent = chemistry[element];
    if (percent === undefined && element !== "c" && element !== "si") continue;
    const [from, to] = ranges[element];
    const range = { from, to, unit: `% of ${nameOf(element)}` };
    const strange = outside("composition-out-of-range", "cast iron", percent ?? Number.NaN, range);
    if (strange !== undefined) return strange;
  }
  return ok(chemistry);
}

/**
 * Carbon equivalent: the carbon that would do to the iron what all its elements do; the form must be named beside it.
 *
 * @shape   chemistry: mass per cent as in `ironOf`; an element that is not given counts as 0
 * @unit    % by mass
 * @method  `solubility`: C + Si/3; `liquidus-2020`: C + 0.23 Si - 0.03 Mn + 0.32 P + 0.64 S + 0.02 Ni + 0.06 Cr;
 *          `liquidus-older`: C + Si/4 + P/2
 * @refuses `composition-out-of-range`
 * @cost    O(1)
 * @source  first two: Koriyama, Kanno, Iwami and Kang, Int. J. Metalcasting (2020), abstract; third: from memory
 * @checked tests/reference/spc/physics/liquidus-iron.test.ts
 */
export function carbonEquivalent(chemistry: IronChemistry, form: CarbonEquivalentForm): Outcome<number> {
  const iron = ironOf(chemistry);
  return iron.ok ? ok(weighed(iron.value, equivalents[form])) : iron;
}

/**
 * Sum of an iron's elements, each times its coefficient.
 *
 * @shape   chemistry: checked by `ironOf`; an element that is not given counts as 0
 * @unit    that of the coefficients times %
 * @method  sum of coefficient times mass per cent
 * @cost    O(1)
 * @source  derived here
 * @checked tests/reference/spc/physics/liquidus-iron.test.ts
 */
export function weighed(chemistry: IronChemistry, weights: ElementWeights): number {
  let sum = 0;
  for (const element of Object.keys(weights) as IronElement[]) {
    sum += (weights[element] ?? 0) * (chemistry[element] ?? 0);
  }
  return sum;
}

/**
 * Elements that a formula asks for and an analysis did not give: they counted as 0, which must be said.
 *
 * @shape   chemistry, weights
 * @unit    names as in the periodic table
 * @method  those with a coefficient and no value
 * @cost    O(1)
 * @source  derived here
 * @checked tests/reference/spc/physics/liquidus-iron.test.ts
 */
export function notAnalysed(chemistry: IronChemistry, weights: ElementWeights): readonly string[] {
  return (Object.keys(weights) as IronElement[])
    .filter((element) => chemistry[element] === undefined)
    .map((element) => nameOf(element));
}

/** A border for `hypereutectic` is no property of one formula, so it stands here. */
const eutectic = { from: 4.2, to: 4.3 };

/**
 * Whether an iron is hypereutectic: then graphite comes first, and there is no liquidus of austenite to be above.
 *
 * @shape   chemistry as in `ironOf`
 * @unit    % of carbon equivalent by solubility, with `nearEutectic` from 4.2 %, where opinions differ
 * @method  CE = C + Si/3, refused above 4.3 %
 * @refuses `hypereutectic`; `composition-out-of-range`
 * @cost    O(1)
 * @source  eutectic at 4.2 %: Stefanescu, Int. J. Metalcasting (2021), abstract, which calls the part of silicon inaccurate;
 *          4.3 %: the diagram of iron and carbon (from memory)
 * @checked tests/reference/spc/physics/liquidus-iron.test.ts
 */
export function hypoeutectic(
  chemistry: IronChemistry,
): Outcome<{ readonly carbonEquivalent: number; readonly nearEutectic: boolean }> {
  const equivalent = carbonEquivalent(chemistry, "solubility");
  if (!equivalent.ok) return equivalent;
  const { value } = equivalent;
  if (value > eutectic.to) {
    const detail = `a carbon equivalent of ${shown(value)} % is above the eutectic, so there is no liquidus of austenite`;
    return refuse("hypereutectic", detail, { needs: eutectic.to, has: value });
  }
  return ok({ carbonEquivalent: value, nearEutectic: value > eutectic.from });
}

function nameOf(element: IronElement): string {
  return element[0]!.toUpperCase() + element.slice(1);
}
