import type { Quantity } from "../units/quantity.ts";
import type { PlottedAs } from "./plotted-as.ts";
import type { SignalPolicy } from "./signal.ts";
import type { Specification } from "./specification.ts";

/** What one chart pair watches: one feature at one station, and of one part where charts are by part. */
export interface Characteristic {
  /** `${station}:${feature}` or `${station}:${feature}:${part}`; safe in a URL path. */
  readonly id: string;
  readonly station: string;
  readonly feature: string;
  readonly part: string | null;
  /** Words of a run's context that each have a chart of their own; left out where all runs share one. */
  readonly by?: readonly string[];
  /** What of the value is plotted; left out, the value itself. */
  readonly plotted?: PlottedAs;
  /** Plain word on screens: `plateau`. */
  readonly name: string;
  readonly quantity: Quantity;
  /** `gauge`, `absolute`, `rms`, `peak`; null where the quantity needs none. */
  readonly reference: string | null;
  /** UCUM code. */
  readonly unit: string;
  /** Digits after the point that the instrument deserves. */
  readonly digits: number;
  readonly chart: ChartPairName;
  /** Consecutive runs that are judged together; left out, each run for itself. */
  readonly subgroup?: SubgroupWords;
  /** Of single runs: words of a run's context whose change begins the moving range anew; left out, `usualAnew`. */
  readonly anewWith?: readonly string[];
  /** What an EWMA is told; left out, `usualEwma`. */
  readonly ewma?: EwmaWords;
  readonly rules: readonly string[];
  /** Of single values: the moving range is drawn and opens no flag; left out, it opens them. */
  readonly movingRange?: "drawn";
  readonly specification: Specification | null;
  /** Expected time from one run to the next. */
  readonly everyMs: number;
  readonly policies: readonly SignalPolicy[];
  /** Where the numbers of the settings come from, and how far they are to be trusted; left out where nobody said. */
  readonly source?: string;
  readonly confidence?: "low" | "medium" | "high";
  /** The one that stands on its station's strip. */
  readonly main: boolean;
}

/** Where the process lies, over how it spreads: in single runs, in averages of subgroups, or in a weighted mean of all. */
export type ChartPairName = "individuals" | "averages-with-s" | "ewma";

export interface SubgroupWords {
  readonly runs: number;
  /** What of a run's context begins a new subgroup where it changes; left out, part and tool. */
  readonly anewWith?: readonly string[];
}

export interface EwmaWords {
  /** Weight of the newest point. */
  readonly lambda: number;
  /** Half-width of the limits in sigma of the EWMA. */
  readonly width: number;
}

/** About 370 points from one chance signal to the next. */
export const usualEwma: EwmaWords = { lambda: 0.2, width: 2.86 };

/** What decides which points there are and what is plotted. */
export type ChartedAs = Pick<Characteristic, "chart" | "subgroup" | "ewma">;

/** Runs that make one full point. */
export function runsOfPoint({ subgroup }: Pick<Characteristic, "subgroup">): number {
  return subgroup?.runs ?? 1;
}

/** Expected time from one point to the next. */
export function pointEveryMs(characteristic: Pick<Characteristic, "subgroup" | "everyMs">): number {
  return characteristic.everyMs * runsOfPoint(characteristic);
}

export function characteristicId(station: string, feature: string, part: string | null): string {
  return part === null ? `${station}:${feature}` : `${station}:${feature}:${part}`;
}
