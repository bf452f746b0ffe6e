import { type FalseFlags, summed } from "./compare/false-flags.ts";
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
  /** Of plants without faults: flags a day by urgency, and what opened them. */
  readonly falseFlags: {
    readonly days: number;
    readonly aDay: Readonly<Record<string, number>>;
    readonly rows: readonly FalseFlags[];
  };
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
    falseFlags: falseFlagsOf(scores),
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

function falseFlagsOf(scores: readonly PlantScore[]): Pooled["falseFlags"] {
  // Of plants that were scored before these were counted nothing is known.
  const counting = scores.filter((score) => score.falseFlags !== undefined);
  const days = counting.reduce((sum, score) => sum + score.days, 0);
  const rows = summed(counting.flatMap((score) => score.falseFlags));
  const aDay: Record<string, number> = {};
  for (const { label, count } of rows) aDay[label] = (aDay[label] ?? 0) + count / days;
  return { days, aDay, rows };
}
