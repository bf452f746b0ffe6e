import type { ChartPair } from "../charts/pair.ts";
import type { Characteristic } from "../model/characteristic.ts";
import { runsOfPoint } from "../model/characteristic.ts";
import type { PointMember, PointRecord } from "../model/journal-entry.ts";
import type { LimitSet } from "../model/limit-set.ts";
import type { Refusal } from "../model/outcome.ts";
import type { Side } from "../model/signal.ts";
import { silencedRules } from "../rules/applied-rules.ts";
import type { RuleOn } from "../rules/rule.ts";
import type { Charts } from "./characteristic-monitor.ts";
import type { Charted } from "./charted.ts";
import type { Finding } from "./finding.ts";
import { distance } from "./finding.ts";
import type { MonitorState } from "./monitor-state.ts";
import type { Gathered, RunValue } from "./subgrouper.ts";

interface Context {
  readonly characteristic: Characteristic;
  readonly pair: ChartPair;
  readonly charts: Charts;
}

/** What both charts say of a subgroup that has ended. */
export interface JudgedSubgroup extends Pick<MonitorState, "location" | "spread"> {
  readonly point: Omit<PointRecord, "signals">;
  /** What may open a flag. */
  readonly findings: readonly Finding[];
}

/** Both charts' next point. A subgroup cut short is judged by lines of its own size when two of its runs gave a value. */
export function judgedSubgroup(state: MonitorState, { members, shortBy }: Gathered, context: Context): JudgedSubgroup {
  const { characteristic, pair, charts } = context;
  const { limits } = state;
  const { run, atMs } = members.at(-1)!;
  const there = members.flatMap(({ value }) => (value === null ? [] : [value]));
  const values = there.length < pair.least ? [] : there;
  const place = { subgroup: state.seen, atMs, run, values };
  const location = charts.location.step(state.location, place);
  const spread = charts.spread.step(state.spread, place);
  const found = [
    ...location.out.flatMap((one) => findingsOf("location", one)),
    ...spread.out.flatMap((one) => findingsOf("spread", one)),
  ];
  const silent = limits === null ? [] : silencedRules(limits);
  const silenced = found.filter(({ rule }) => silent.includes(rule));
  const refusal = refusalOf(members, there.length, pair.least, limits);
  const point: Omit<PointRecord, "signals"> = {
    characteristic: characteristic.id,
    run,
    subgroup: state.seen,
    atMs,
    imported: false,
    limitSet: limits?.id ?? null,
    location: location.out[0]!.point,
    spread: spread.out[0]!.point,
    ...(refusal === null ? {} : { refusal }),
    ...(characteristic.chart === "individuals" ? {} : { members: members.map(memberOf) }),
    ...(shortBy === null || runsOfPoint(characteristic) === 1 ? {} : { shortBy }),
    ...(silenced.length === 0 ? {} : { silenced: silenced.map(({ rule, side }) => ({ rule, side })) }),
  };
  const findings = found.filter(
    ({ rule, on }) => !silent.includes(rule) && (on !== "spread" || spreadFlags(characteristic)),
  );
  return { point, findings, location: location.state, spread: spread.state };
}

/** How far subgroups spread within always does: it tells what their averages do not. */
function spreadFlags({ chart, movingRange }: Characteristic): boolean {
  return chart === "averages-with-s" || movingRange !== "drawn";
}

function findingsOf(on: RuleOn, { point, sigma, hits }: Charted): readonly Finding[] {
  const { value, centre } = point;
  if (value === null) return [];
  // A pattern that has no side is listed where its newest point lies.
  const here = (line: number): Side => (value < line ? "below" : "above");
  const z = centre === null || sigma === null ? {} : { z: distance(value, centre, sigma) };
  return hits.map((hit) => ({ ...hit, on, value, side: hit.side === "both" ? here(hit.line) : hit.side, ...z }));
}

function memberOf({ run, atMs, value }: RunValue): PointMember {
  return { run, atMs, value };
}

function refusalOf(
  members: readonly RunValue[],
  there: number,
  least: number,
  limits: LimitSet | null,
): Refusal | null {
  if (there >= least) return limits === null ? { code: "no-limits", detail: "no limits are in force yet" } : null;
  if (there > 0) {
    const detail = `${there} of ${members.length} runs gave a value, and a subgroup needs ${least}`;
    return { code: "too-few", detail, needs: least, has: there };
  }
  const [only] = members;
  if (members.length === 1) return only!.refusal ?? { code: "no-value", detail: "the run gave no value" };
  return { code: "no-value", detail: `none of ${members.length} runs gave a value` };
}
