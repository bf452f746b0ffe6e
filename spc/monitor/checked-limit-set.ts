import type { ChartPair } from "../charts/pair.ts";
import { chartPairOf } from "../charts/pair.ts";
import type { Characteristic, ChartedAs } from "../model/characteristic.ts";
import { runsOfPoint } from "../model/characteristic.ts";
import type { LimitSet } from "../model/limit-set.ts";
import { ruleById } from "../rules/rule.ts";

/**
 * The set itself, when it may rule the characteristic. A set that does not fit is a defect of who put it in force:
 * lines without width would flag every run, lines in another unit none.
 */
export function checkedLimitSet(set: LimitSet, characteristic: Characteristic, pair: ChartPair): LimitSet {
  const refuse = (what: string): never => {
    throw new RangeError(`limit set ${set.id} cannot rule ${characteristic.id}: ${what}`);
  };
  if (set.characteristic !== characteristic.id) refuse(`it was made for ${set.characteristic}`);
  if (set.unit !== characteristic.unit) refuse(`its unit is ${set.unit}, not ${characteristic.unit}`);
  const kinds = pair.kinds.join(" and ");
  if (set.charts.join(" and ") !== kinds) refuse(`its charts are ${set.charts.join(" and ")}, not ${kinds}`);
  for (const rule of set.rules) ruleById(rule);
  const [proposer, other] = [set.proposedBy, set.agreedBy].map((name) => name.trim().toLowerCase());
  if (proposer === "" || other === "" || proposer === other) refuse("not two people stand behind it");
  if (set.reason.trim() === "") refuse("no reason stands beside it");
  for (const on of ["location", "spread"] as const) {
    const { lower, centre, upper, sigma } = set[on];
    const ordered = lower <= centre && centre <= upper && lower < upper;
    const finite = [lower, centre, upper, sigma].every(Number.isFinite);
    if (!finite || !ordered || !(sigma > 0))
      refuse(`its ${on} lines need lower <= centre <= upper and sigma above zero`);
  }
  const scheme = misfit(set, characteristic);
  if (scheme !== null) refuse(scheme);
  return set;
}

/** Whether a set's lines are of the charts that the characteristic has: settings may have changed since it was agreed. */
export function fitsCharts(set: LimitSet, as: ChartedAs): boolean {
  return set.charts.join() === chartPairOf(as).kinds.join() && misfit(set, as) === null;
}

function misfit({ charts, scheme, k }: LimitSet, as: ChartedAs): string | null {
  if (charts[0] === "individuals") return null;
  if (scheme === undefined) return `${charts.join(" and ")} need the scheme that their lines follow from`;
  if (scheme.runs !== runsOfPoint(as)) return `it is for subgroups of ${scheme.runs}, not of ${runsOfPoint(as)}`;
  const numbers = [scheme.sigma, scheme.sigmaWithin, k, ...Object.values(scheme.ewma ?? {})];
  const wrong = numbers.some((one) => typeof one === "number" && !Number.isFinite(one));
  if (wrong || !(scheme.sigma > 0 && scheme.sigmaWithin > 0 && k > 0)) return "its scheme needs sigmas above zero";
  return charts[0] === "ewma" && scheme.ewma === undefined ? "an EWMA needs its lambda and width" : null;
}
