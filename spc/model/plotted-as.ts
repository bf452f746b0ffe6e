import type { FeatureValue, RunRecord } from "./journal-entry.ts";
import { type Outcome, ok, refuse } from "./outcome.ts";
import type { Run } from "./run.ts";

/** What each part should give, and how much its single values spread. */
export interface PartTarget {
  readonly target: number;
  /** Needed for `z` alone. */
  readonly sigma?: number;
}

/** What stands on a chart: how far a value lies from its part's target, or that over its part's sigma. */
export interface PlottedAs {
  readonly as: "deviation" | "z";
  readonly parts: Readonly<Record<string, PartTarget>>;
}

/** What of a run, and of its value, a chart shows. */
export interface ChartOfRuns {
  readonly feature: string;
  /** The one that `chartOf` names; null where all runs share one chart, and for runs that nothing told of. */
  readonly part: string | null;
  /** Words of a run's context that each have a chart of their own; left out for none. */
  readonly by?: readonly string[];
  /** Left out where the value itself is plotted. */
  readonly plotted?: PlottedAs;
}

/** Which of the charts of a feature a run's point stands on: its part, or part and tool. */
export function chartOf({ context }: Pick<Run, "context">, by: readonly string[] = []): string | null {
  const words = by.map((key) => context[key] ?? "");
  return words.every((word) => word === "") ? null : words.map((word) => (word === "" ? "-" : word)).join(" ");
}

/** What a run gives a chart, as it plots it; undefined where it gives none. */
export function chartedValue({ run, features }: RunRecord, chart: ChartOfRuns): FeatureValue | undefined {
  const found = features.find((one) => one.feature === chart.feature);
  if (found === undefined || chartOf(run, chart.by) !== chart.part) return undefined;
  if (found.value === null) return found;
  const plotted = plottedValue(found.value, run.context["part"] ?? "", chart.plotted);
  return plotted.ok ? { ...found, value: plotted.value } : { ...found, value: null, refusal: plotted.refusal };
}

/**
 * A value as its chart plots it: parts of different targets share one chart by how far each lies from its own. A part
 * whose target nobody has stated has no place on it.
 */
export function plottedValue(value: number, part: string, plotted: PlottedAs | undefined): Outcome<number> {
  if (plotted === undefined) return ok(value);
  if (part === "") return refuse("part-unknown", "nothing told which part ran, so there is no target to compare with");
  const own = Object.hasOwn(plotted.parts, part) ? plotted.parts[part] : undefined;
  if (own === undefined) return refuse("part-without-target", `the settings state no target of part ${part}`);
  const deviation = value - own.target;
  if (plotted.as === "deviation") return ok(deviation);
  if (own.sigma === undefined) return refuse("part-without-target", `the settings state no sigma of part ${part}`);
  return ok(deviation / own.sigma);
}
