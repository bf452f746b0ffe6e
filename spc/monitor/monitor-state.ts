import type { ChartedAs } from "../model/characteristic.ts";
import { runsOfPoint, usualEwma } from "../model/characteristic.ts";
import type { LimitSet } from "../model/limit-set.ts";
import type { ChartedState } from "./charted.ts";
import { fitsCharts } from "./checked-limit-set.ts";
import type { Gathering } from "./subgrouper.ts";

/** Plain JSON, and small: checkpoints are made of it. */
export interface MonitorState {
  /** Which charts it is of, as `designOf` names them; checkpoints from before there was a choice lack it. */
  readonly design?: string;
  /** Streamed points so far. */
  readonly seen: number;
  readonly limits: LimitSet | null;
  /** Agreed, but their source time has not come; in the order in which they were put in force. */
  readonly next: readonly LimitSet[];
  readonly location: ChartedState;
  readonly spread: ChartedState;
  /** Flag that is open on the characteristic. */
  readonly flag: string | null;
  /** Runs that wait for their subgroup to be full; left out while none does. */
  readonly gathering?: Gathering;
  /** What was set up for the last single run: no moving range reaches across a change. */
  readonly setting?: string;
  /** Signals of those runs. */
  readonly heard?: readonly string[];
  /** The flag that was done last, and how many runs came since; forgotten when they are too many. */
  readonly closed?: { readonly flag: string; readonly runs: number };
}

/** Charts are told apart by what is plotted: a memory of others says nothing of these. */
export function designOf(as: ChartedAs): string {
  const { lambda } = as.ewma ?? usualEwma;
  const weight = as.chart === "ewma" ? `/${lambda}` : "";
  return `${as.chart}/${runsOfPoint(as)}${weight}`;
}

/** Settings may have changed since the checkpoint: then charts and rules begin anew, and limits of other charts end. */
export function adopted(
  state: MonitorState,
  as: ChartedAs,
  fresh: (set: LimitSet | null) => Pick<MonitorState, "location" | "spread">,
): MonitorState {
  const design = designOf(as);
  if ((state.design ?? "individuals/1") === design) return state;
  const { gathering: _, heard: __, ...kept } = state;
  const limits = state.limits !== null && fitsCharts(state.limits, as) ? state.limits : null;
  return { ...kept, design, limits, next: state.next.filter((set) => fitsCharts(set, as)), ...fresh(limits) };
}
