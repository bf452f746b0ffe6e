import { type LawSums, lawOf, pooledSums } from "./compare/process-laws.ts";
import {
  type ChanceLine,
  type CharacteristicRow,
  chanceLines,
  characteristicRows,
  kindRows,
  type Summary,
  summaryOf,
  type TypeRow,
  typeRows,
} from "./compare/summary.ts";
import type { PlantScore } from "./plant-score.ts";

export interface Pooled {
  readonly seeds: readonly number[];
  readonly summary: Summary;
  readonly spread: Readonly<Record<"foundShare" | "confusion" | "undecidedShare", MeanAndWorst>>;
  readonly faults: readonly TypeRow[];
  readonly kinds: readonly TypeRow[];
  readonly chance: readonly ChanceLine[];
  readonly characteristics: readonly CharacteristicRow[];
}

/** Over the plants, each for itself. */
export interface MeanAndWorst {
  readonly mean: number | null;
  readonly worst: number | null;
}

/** Several plants as one: counts add up, and a process's law is that of all of them. */
export function pooled(scores: readonly PlantScore[]): Pooled {
  const sums = new Map<string, LawSums[]>();
  for (const { laws } of scores) {
    for (const [law, one] of Object.entries(laws)) sums.set(law, [...(sums.get(law) ?? []), one]);
  }
  const laws = new Map([...sums].map(([law, all]) => [law, lawOf(pooledSums(all))]));
  const faults = scores.flatMap(({ faultRows }) => faultRows);
  const chance = scores.flatMap((score) => score.chance);
  return {
    seeds: scores.map(({ seed }) => seed),
    summary: summaryOf(faults, chance, laws),
    spread: spreadOf(scores.map(({ faultRows }) => summaryOf(faultRows, [], laws))),
    ...{ faults: typeRows(faults), kinds: kindRows(faults) },
    ...{ chance: chanceLines(chance, laws), characteristics: characteristicRows(chance, laws) },
  };
}

function spreadOf(each: readonly Summary[]): Pooled["spread"] {
  const of = (value: (one: Summary) => number | null, worst: (...all: number[]) => number): MeanAndWorst => {
    const there = each.map(value).filter((one) => one !== null);
    if (there.length === 0) return { mean: null, worst: null };
    return { mean: there.reduce((sum, one) => sum + one, 0) / there.length, worst: worst(...there) };
  };
  return {
    foundShare: of(({ foundShare }) => foundShare, Math.min),
    confusion: of(({ confusion }) => confusion, Math.max),
    undecidedShare: of(({ undecided, found }) => (found === 0 ? null : undecided / found), Math.max),
  };
}
