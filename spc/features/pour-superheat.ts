import { type Outcome, ok, refuse } from "../model/outcome.ts";
import type { FeatureExtractor, RunTrace } from "../model/run.ts";
import type { Sample } from "../model/sample.ts";
import { aluminiumLiquidus } from "../physics/liquidus-aluminium.ts";
import { ironLiquidus, ironLiquidusFormulas, type Liquidus } from "../physics/liquidus-iron.ts";
import { superheat } from "../physics/superheat.ts";
import { featureNumbers, guarded } from "./extractor.ts";
import { firstMetal, firstMetalDefaults } from "./first-metal.ts";
import type { Reading } from "./readings.ts";
import { toldBefore, toldValues } from "./told.ts";

/** An analysis holds for its heat, which is poured within so long. Common practice, no source. */
const lookBackMs = 24 * 3_600_000;

const elements = { aluminium: ["si", "cu", "mg"], iron: ["c", "si", "mn", "p", "s"] } as const;

/**
 * `pour.superheat`: how far the first metal was above where it begins to freeze.
 *
 * @shape   role `stream`, and the heat's analysis in roles `chem-si`, `chem-cu`, `chem-mg` (aluminium) or `chem-c`, `chem-si`,
 *          `chem-mn`, `chem-p`, `chem-s` (iron), mass per cent, the newest of the day before; settings `metal`, 1 aluminium
 *          with silicon (default) or 2 iron, `formula` of iron's liquidus, 1 `koriyama-2020` (default) or 2 `older-1669`,
 *          `analysis`, 1 of any metal (default) or 2 of the run's own `alloy` alone, which events of a role `sampled` tell
 *          before each analysis, and those of `pour.T1`
 * @unit    K
 * @method  first metal minus liquidus; silicon, and carbon in iron, must have been analysed, other elements count as 0
 *          where they were not
 * @refuses those of `firstMetal`; `no-reading` without such an analysis; `hypereutectic`, for then there is no liquidus to be above;
 *          those of `aluminiumLiquidus`, `ironLiquidus`, `superheat`
 * @throws  RangeError for another setting, a metal or analysis that is neither 1 nor 2, or a formula that is none
 * @cost    O(n)
 * @source  liquidus: see the formulas; their errors, 6 K and more, stand on top of `plusMinus`
 * @checked tests/unit/spc/features/pour-more.test.ts
 */
export function pourSuperheat(settings: Readonly<Record<string, number>>): FeatureExtractor {
  const numbers = featureNumbers("pour.superheat", settings, {
    ...firstMetalDefaults,
    ...{ metal: 1, formula: 1, analysis: 1 },
  });
  const formula = ironLiquidusFormulas[numbers.formula - 1];
  if (numbers.metal !== 1 && numbers.metal !== 2) {
    throw new RangeError(`pour.superheat knows metal 1 (aluminium) and 2 (iron), got ${numbers.metal}`);
  }
  if (formula === undefined) throw new RangeError(`pour.superheat knows formula 1 and 2, got ${numbers.formula}`);
  if (numbers.analysis !== 1 && numbers.analysis !== 2) {
    throw new RangeError(`pour.superheat knows analysis 1 (any) and 2 (own alloy), got ${numbers.analysis}`);
  }
  const own = numbers.analysis === 2;
  const asked: readonly string[] = numbers.metal === 1 ? elements.aluminium : elements.iron;
  const roles = [...asked.map((element) => `chem-${element}`), ...(own ? ["sampled"] : [])];
  const liquidus = (percent: (element: string) => number | undefined): Outcome<Liquidus> => {
    const known = Object.fromEntries(
      asked.flatMap((one) => (percent(one) === undefined ? [] : [[one, percent(one)!]])),
    );
    const [c, si] = [percent("c"), percent("si")];
    if (si === undefined || (numbers.metal === 2 && c === undefined)) {
      const what = own ? "metal of the run's own alloy" : "the heat";
      return refuse("no-reading", `${what} was not analysed in the day before the pour`);
    }
    return numbers.metal === 1 ? aluminiumLiquidus({ ...known, si }) : ironLiquidus({ ...known, c: c!, si }, formula);
  };
  return guarded({
    id: "pour.superheat",
    version: 2,
    unit: "K",
    roles: ["stream", ...roles],
    lookBackMs: Object.fromEntries(roles.map((role) => [role, lookBackMs])),
    plusMinus: 5,
    extract(trace) {
      const metal = firstMetal(trace, numbers);
      if (!metal.ok) return metal;
      const told = (element: string): number | undefined => newestOf(trace, `chem-${element}`, own);
      const above = superheat(metal.value, liquidus(told));
      return above.ok ? ok(above.value) : above;
    },
  });
}

/** Newest analysis; where one alloy follows another in a furnace, of what this run poured. */
function newestOf(trace: RunTrace, role: string, own: boolean): number | undefined {
  const inside = toldValues(trace, role);
  const all = [...toldBefore(trace, role), ...(inside.ok ? inside.value : [])];
  if (!own) return all.at(-1)?.value;
  const samplings = [...(trace.before?.["sampled"] ?? []), ...(trace.samples["sampled"] ?? [])];
  return all.findLast((one) => isOf(trace.run.context["alloy"], one, samplings))?.value;
}

function isOf(alloy: string | undefined, { tMs }: Reading, samplings: readonly Sample[]): boolean {
  const told = samplings.findLast((one) => one.tMs <= tMs && one.attributes?.["alloy"] !== undefined);
  return alloy !== undefined && told?.attributes?.["alloy"] === alloy;
}
