import type { BaselineRequest } from "../../../spc/charts/propose-limits.ts";
import { proposeLimits } from "../../../spc/charts/propose-limits.ts";
import type { Characteristic, ChartedAs } from "../../../spc/model/characteristic.ts";
import type { Subgroup } from "../../../spc/model/chart.ts";
import type { LimitSet } from "../../../spc/model/limit-set.ts";
import type { MonitorInput } from "../../../spc/monitor/characteristic-monitor.ts";
import { granted, plateau, points, runOf, timeOf } from "./press-fixtures.ts";

export const averages: ChartedAs = { chart: "averages-with-s", subgroup: { runs: 4 } };
export const ewmaOfRuns: ChartedAs = { chart: "ewma", ewma: { lambda: 0.2, width: 2.86 } };
export const ewmaOfSubgroups: ChartedAs = { ...ewmaOfRuns, subgroup: { runs: 4 } };

/** The plateau pressure under other charts; without a specification, so that only charts signal. */
export function charted(as: ChartedAs, rules: readonly string[] = ["beyond-limit"]): Characteristic {
  const { chart: _, ...rest } = plateau;
  return { ...rest, ...as, rules, specification: null };
}

export function runsOf(values: readonly (number | null)[]): readonly Subgroup[] {
  return values.map((value, index) => ({
    index,
    atMs: timeOf(index),
    runs: [runOf(index)],
    values: value === null ? [] : [value],
  }));
}

/** Limits from these very runs, one each at the expected spacing. */
export function limitsFrom(
  characteristic: Characteristic,
  values: readonly (number | null)[],
  change: Partial<BaselineRequest> = {},
): LimitSet {
  const { chart: pair, subgroup, ewma, everyMs, unit, rules, id } = characteristic;
  const asked = { pair, subgroup, ewma, everyMs, unit, rules, basis: "chart", subgroups: runsOf(values) } as const;
  return {
    ...granted(proposeLimits({ ...asked, ...change })),
    ...{ id: `${id}@1`, characteristic: id, revision: 1, effectiveFromMs: 0, frozenAtMs: 0 },
    ...{ proposedBy: "Process engineer", agreedBy: "Early lead", reason: "first limits", engine: "0.1.0" },
  };
}

export function under(set: LimitSet, values: readonly (number | null)[]): readonly MonitorInput[] {
  return [{ kind: "limits", set }, ...points(values)];
}
