import { judge } from "../model/point.ts";
import type { PatternRule, StepRule, ZoneRule } from "./rule.ts";
import type { HitSide, LinedValue, WindowEntry, WindowStep } from "./rule-window.ts";
import { nextOutside, nextWindow } from "./rule-window.ts";

/** Differences within so much of the larger of the numbers are no differences: the same as in `judge`. */
export const SLACK = 1e-12;

/** Where a pattern lies: `both` where it has no side. */
export type PatternSide = "above" | "below" | "both";

/** What one more point made of a rule's memory. */
export interface PatternStep extends WindowStep {
  readonly side: PatternSide;
}

/**
 * Next pattern: whether this point completes a rule's pattern, and what has to be remembered of it.
 *
 * @shape   a rule with a memory, what it remembers, the new point's run and value beside its lines
 * @unit    dimensionless
 * @method  zone rules look at the side of the value, step rules at the direction from the value before. On a line is
 *          neither side, not inside and not outside; equal neighbours are no step, and so is what differs in its last
 *          bits only
 * @cost    O(longest pattern)
 * @source  Nelson 1984, Journal of Quality Technology 16:237-239 (from memory)
 * @checked tests/reference/spc/rules/rule-monitor.test.ts
 */
export function nextPattern(
  rule: PatternRule,
  memory: readonly WindowEntry[],
  run: string,
  at: LinedValue,
): PatternStep {
  if (rule.kind === "trend" || rule.kind === "alternating") {
    const last = memory.at(-1)?.at;
    const step = last === undefined ? 0 : stepDirection(last, at);
    const pattern = rule.kind === "alternating" ? "both" : step > 0 ? "above" : "below";
    return { ...nextSteps(rule, memory, { run, side: step, at }), side: pattern };
  }
  const side = zoneSide(rule, at);
  const next = nextInZones(rule, memory, { run, side });
  return { ...next, side: rule.kind !== "window" ? "both" : side > 0 ? "above" : "below" };
}

/**
 * Next in zones: what one more point of a known side makes of a zone rule's memory.
 *
 * @shape   a zone rule, what it remembers, the point's side: 1 above and -1 below its lines, for an inside rule 1 inside
 * @unit    dimensionless
 * @method  the kind's own step
 * @source  Nelson 1984, Journal of Quality Technology 16:237-239 (from memory)
 * @checked tests/reference/spc/rules/rule-monitor.test.ts
 */
export function nextInZones(rule: ZoneRule, memory: readonly WindowEntry[], entry: WindowEntry): WindowStep {
  switch (rule.kind) {
    case "window":
      return nextWindow(rule, memory, entry);
    case "inside":
      return nextWindow({ hits: rule.points, of: rule.points }, memory, entry);
    case "outside":
      return nextOutside(rule, memory, entry);
  }
}

/**
 * Zone side: the side that a zone rule sees.
 *
 * @shape   a zone rule, and a value beside its lines
 * @unit    dimensionless: 1 above its lines, -1 below, 0 neither; for an inside rule 1 inside and 0 not
 * @method  strictly beyond, or strictly inside; within the last bits of a line counts as on it, which is neither
 * @source  Nelson 1984, Journal of Quality Technology 16:237-239 (from memory)
 * @checked tests/reference/spc/rules/rule-monitor.test.ts
 */
export function zoneSide(rule: ZoneRule, { value, centre, sigma }: LinedValue): HitSide {
  const away = (rule.kind === "inside" ? rule.within : rule.beyond) * sigma;
  const lower = centre - away;
  const upper = centre + away;
  if (rule.kind === "inside") {
    const slack = SLACK * Math.max(Math.abs(value), Math.abs(lower), Math.abs(upper));
    return lower + slack < value && value < upper - slack ? 1 : 0;
  }
  const verdict = judge(value, lower, upper);
  return verdict === "above" ? 1 : verdict === "below" ? -1 : 0;
}

/**
 * Step direction: whether a chart goes up or down from one point to the next.
 *
 * @shape   two values, each beside its lines
 * @unit    dimensionless: 1 up, -1 down, 0 neither
 * @method  values are compared where both have the same lines, else their distances from the centre in sigma, because
 *          subgroups of unequal size spread unequally; what differs in its last bits only is equal
 * @source  ties: Nelson 1984, Journal of Quality Technology 16:237-239 (from memory); unequal lines: common practice, no
 *          source
 * @checked tests/property/spc/rules/signals-of.test.ts
 */
export function stepDirection(from: LinedValue, to: LinedValue): HitSide {
  return directionOf(from.value, from.centre, from.sigma, to.value, to.centre, to.sigma);
}

/**
 * Direction of: `stepDirection` of bare numbers, for loops over millions.
 *
 * @shape   value, centre and sigma of one point and of the next
 * @unit    dimensionless: 1 up, -1 down, 0 neither
 * @source  as `stepDirection`
 * @checked tests/property/spc/rules/signals-of.test.ts
 */
export function directionOf(
  fromValue: number,
  fromCentre: number,
  fromSigma: number,
  toValue: number,
  toCentre: number,
  toSigma: number,
): HitSide {
  const alike = fromCentre === toCentre && fromSigma === toSigma;
  const a = alike ? fromValue : (fromValue - fromCentre) / fromSigma;
  const b = alike ? toValue : (toValue - toCentre) / toSigma;
  // In sigma, how large the numbers are whose last bits the distances may have lost.
  const size = alike
    ? Math.max(Math.abs(a), Math.abs(b))
    : Math.max(
        Math.max(Math.abs(fromValue), Math.abs(fromCentre)) / fromSigma,
        Math.max(Math.abs(toValue), Math.abs(toCentre)) / toSigma,
      );
  if (b > a + SLACK * size) return 1;
  return b < a - SLACK * size ? -1 : 0;
}

/**
 * Next steps: what one more step makes of a trend's or an alternation's memory.
 *
 * @shape   a step rule, the row so far, oldest first, and the new point with the direction that led to it
 * @unit    dimensionless
 * @method  a row goes on while steps go the same way, or in turn; no step begins a new one
 * @source  Nelson 1984, Journal of Quality Technology 16:237-239, tests 3 and 4 (from memory)
 * @checked tests/reference/spc/rules/rule-monitor.test.ts
 */
export function nextSteps(rule: StepRule, memory: readonly WindowEntry[], entry: WindowEntry): WindowStep {
  const last = memory.at(-1);
  const wanted = rule.kind === "trend" ? entry.side : -entry.side;
  // The first point of a row has no step that leads to it.
  const goesOn = last?.side === 0 || last?.side === wanted;
  const before = last === undefined || entry.side === 0 ? [] : goesOn ? memory : [{ run: last.run, side: 0 as const }];
  const row = [...before.map(({ run, side }) => ({ run, side })), entry].slice(-rule.points);
  const members = row.length === rule.points ? row.map(({ run }) => run) : null;
  return { window: row.slice(-(rule.points - 1)), members };
}
