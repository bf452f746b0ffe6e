import { expect, test } from "vitest";
import { proposeLimits } from "../../../../spc/charts/propose-limits.ts";
import { averageLinesOf, standardDeviationLinesOf } from "../../../../spc/charts/subgroup-live.ts";
import { usualDesign } from "../../../../spc/model/chart-design.ts";
import { subgroups as grouped } from "../../../../spc/model/grouped.ts";
import type { PointRecord } from "../../../../spc/model/journal-entry.ts";
import type { LimitSet } from "../../../../spc/model/limit-set.ts";
import { advance } from "../../../../spc/model/stage.ts";
import { characteristicMonitor } from "../../../../spc/monitor/characteristic-monitor.ts";
import { estimateLocation } from "../../../../spc/sigma/location.ts";
import { granted, plateau, points, runOf, timeOf } from "../../../unit/spc/press-fixtures.ts";
import { seriesColumn } from "../../ledger/published.ts";
import { reference } from "../../ledger/reference.ts";
import { absolute, either, relative } from "../../ledger/tolerance.ts";

const exact = either(relative(1e-11), absolute(1e-13));
const ccxbar = reference("variables_charts_computed.json", ["input", "recomputed.n"]).find(
  ({ id }) => id === "nist-ccxbar",
)!;

const rings = reference("textbook_phase1.json", ["input"]).find(({ id }) => id === "xbar-S-piston-rings")!;

const characteristic = { ...plateau, chart: "averages-with-s", subgroup: { runs: 5 }, specification: null } as const;
const named = {
  ...{ id: "published@1", characteristic: characteristic.id, revision: 1, effectiveFromMs: 0, frozenAtMs: 0 },
  ...{ proposedBy: "Process engineer", agreedBy: "Early lead", reason: "published example", engine: "0.1.0" },
};

function live(set: LimitSet, values: readonly number[]): readonly PointRecord[] {
  const { out } = advance(characteristicMonitor(characteristic), [{ kind: "limits", set }, ...points(values)]);
  return out.flatMap((one) => (one.kind === "point" ? [one.point] : []));
}

function proposed(values: readonly number[]): LimitSet {
  const { chart: pair, subgroup, everyMs, unit, rules } = characteristic;
  const runs = values.map((value, index) => ({ index, atMs: timeOf(index), runs: [runOf(index)], values: [value] }));
  return {
    ...granted(proposeLimits({ pair, subgroup, everyMs, unit, rules, basis: "chart", subgroups: runs })),
    ...named,
  };
}

const beyond = (found: readonly PointRecord[], on: "location" | "spread"): number[] =>
  found.flatMap((point, place) => (["above", "below"].includes(point[on].verdict) ? [place + 1] : []));

test(`${rings.title}: frozen from 125 runs and judged run by run, both charts are the published ones`, () => {
  const values = rings.get<readonly (readonly number[])[]>("input.subgroups").flat();
  const found = live(proposed(values), values);
  const close = relative(1e-9);
  const { location, spread } = found[0]!;
  rings.check("recomputed.xbarbar", location.centre!, exact);
  rings.check("recomputed.xbar_s.ucl", location.upper!, exact);
  rings.check("recomputed.xbar_s.lcl", location.lower!, exact);
  rings.check("recomputed.s_bar", spread.centre!, close);
  rings.check("recomputed.s.ucl", spread.upper!, close);
  rings.check("recomputed.s.lcl", spread.lower!, absolute(0));
  expect(found).toHaveLength(25);
  expect([...beyond(found, "location"), ...beyond(found, "spread")]).toEqual([]);
});

test(`${ccxbar.title}: judged run by run, averages and s and their signals are the published ones`, () => {
  const values = seriesColumn("nist_ccxbar", "thickness");
  // Twenty subgroups are too few for limits of our own, so what the example estimates is frozen as it stands.
  const lists = Array.from({ length: values.length / 5 }, (_, i) => values.slice(5 * i, 5 * i + 5));
  const estimate = granted(estimateLocation(grouped(lists), usualDesign({ from: 0, to: lists.length })));
  const { centre, sigma } = estimate;
  const scheme = { runs: 5, sigma, sigmaWithin: sigma };
  const bare = { location: { centre, lower: centre, upper: centre, sigma }, scheme, k: 3 };
  const lines = { location: averageLinesOf(bare, 5), spread: standardDeviationLinesOf(bare, 5)! };
  const found = live(
    { ...proposed(rings.get<readonly (readonly number[])[]>("input.subgroups").flat()), ...lines, scheme },
    values,
  );
  ccxbar.checkAll(
    "recomputed.xbar",
    found.map(({ location }) => location.value!),
    exact,
  );
  ccxbar.checkAll(
    "recomputed.s",
    found.map(({ spread }) => spread.value!),
    exact,
  );
  ccxbar.check("recomputed.xbarbar", found[0]!.location.centre!, exact);
  ccxbar.check("recomputed.xbar_s.ucl", found[0]!.location.upper!, exact);
  ccxbar.check("recomputed.xbar_s.lcl", found[0]!.location.lower!, exact);
  ccxbar.check("recomputed.s_chart.cl", found[0]!.spread.centre!, exact);
  ccxbar.check("recomputed.s_chart.ucl", found[0]!.spread.upper!, exact);
  ccxbar.check("recomputed.s_chart.lcl", found[0]!.spread.lower!, exact);
  ccxbar.checkAll("recomputed.signals.xbar_s", beyond(found, "location"), absolute(0));
  ccxbar.checkAll("recomputed.signals.s", beyond(found, "spread"), absolute(0));
});
