import type { DrawnChart } from "../../../../spc/model/drawn-chart.ts";
import { verdictAt } from "../../../../spc/model/drawn-chart.ts";
import { rulesTaken } from "../../../../spc/rules/applicability.ts";
import { ruleById } from "../../../../spc/rules/rule.ts";
import type { RuleId } from "../../../../spc/rules/rule-ids.ts";
import { ruleMonitor } from "../../../../spc/rules/rule-monitor.ts";

/** What the live rules say of a drawn chart, place by place: the plain twin of `signalsOf`. */
export function plainSignals(
  chart: DrawnChart,
  rules: readonly RuleId[],
): readonly { readonly rule: string; readonly side: string; readonly members: readonly number[] }[][] {
  const rows = rules.filter((rule) => rulesTaken[chart.patterns].includes(rule)).map(ruleById);
  const monitor = ruleMonitor(
    rows,
    { centre: Number.NaN, lower: Number.NaN, upper: Number.NaN, sigma: Number.NaN },
    { everyMs: 1 },
  );
  let state = monitor.initial;
  let late = 0;
  return Array.from({ length: chart.values.length }, (_, place) => {
    if (chart.anew.includes(place)) late += 100;
    const point = {
      subgroup: place,
      value: chart.values.at(place),
      centre: chart.centres.at(place),
      lower: chart.lower.at(place),
      upper: chart.upper.at(place),
      verdict: verdictAt(chart, place),
    };
    const sigma = chart.sigmas.at(place) ?? Number.NaN;
    const next = monitor.step(state, { run: `${place}`, atMs: place + late, point, sigma });
    state = JSON.parse(JSON.stringify(next.state)) as typeof state;
    return next.out.map(({ rule, side, members }) => ({ rule, side, members: members.map(Number) }));
  });
}
