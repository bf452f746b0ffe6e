import type { DrawnChart } from "../model/drawn-chart.ts";
import { verdictAt } from "../model/drawn-chart.ts";
import { rulesTaken } from "./applicability.ts";
import type { Rule } from "./rule.ts";
import { rules as rows } from "./rule.ts";
import type { RuleId } from "./rule-ids.ts";
import { ruleIds } from "./rule-ids.ts";
import { stepDirection, zoneSide } from "./rule-pattern.ts";
import type { LinedValue } from "./rule-window.ts";
import { MOST_MISSING, scanner } from "./scan.ts";
import type { PatternSignal, SignalColumn } from "./signal-column.ts";

/** The longest pattern, in points. */
const LONGEST = Math.max(...rows.map((row) => ("points" in row ? row.points : row.kind === "window" ? row.of : 1)));

/**
 * Signals of a chart: what the rules say of every place of a whole series.
 *
 * @shape   a drawn chart, names of rules, and places before which patterns start anew because a cause was corrected:
 *          none where limits are sought, then every completing point is marked
 * @unit    places
 * @method  the fast twin of `ruleMonitor`: bits by place (`scanner`), and only the rules that the chart's statistic takes. A
 *          pattern's points are looked for when they are asked for
 * @cost    O(places), one byte a place
 * @source  Nelson 1984, Journal of Quality Technology 16:237-239 (from memory); treatment of gaps and restart: common
 *          practice, no source
 * @checked tests/property/spc/rules/signals-of.test.ts
 */
export function signalsOf(chart: DrawnChart, rules: readonly RuleId[], restarts: readonly number[] = []): SignalColumn {
  const { length } = chart.values;
  const taken = rulesTaken[chart.patterns];
  const asked = ruleIds.reduce(
    (mask, rule, bit) => (rules.includes(rule) && taken.includes(rule) ? mask | (1 << bit) : mask),
    0,
  );
  const breaks = breaksOf([...chart.anew, ...restarts], length);
  const bits = asked === 0 ? new Uint8Array(length) : scanned(chart, breaks, asked !== 1);
  const at = (place: number): readonly PatternSignal[] => {
    const set = (bits[place] ?? 0) & asked;
    if (set === 0) return [];
    const points = pointsBefore(chart, place, breaks);
    return rows.flatMap((row, bit) => ((set & (1 << bit)) === 0 ? [] : [signalAt(row, chart, place, points)]));
  };
  return { length, any: (place) => ((bits[place] ?? 0) & asked) !== 0, at };
}

/** Where stretches begin, ascending. */
function breaksOf(places: readonly number[], length: number): readonly number[] {
  return [...new Set([0, ...places.filter((place) => place > 0 && place < length)])].sort((a, b) => a - b);
}

function scanned(chart: DrawnChart, breaks: readonly number[], patterns: boolean): Uint8Array {
  const { length, raw } = chart.values;
  const bits = new Uint8Array(length);
  const values = typeof raw === "number" ? new Float64Array(length).fill(raw) : raw;
  const scan = scanner(
    {
      values,
      centres: chart.centres.raw,
      sigmas: chart.sigmas.raw,
      lower: chart.lower.raw,
      upper: chart.upper.raw,
    },
    patterns,
  );
  breaks.forEach((from, i) => {
    scan(from, breaks[i + 1] ?? length, bits);
  });
  return bits;
}

/** The last of some ascending numbers, the first of them 0, that is not above a place. */
function lastUpTo(ascending: readonly number[], place: number): number {
  let at = 0;
  let beyond = ascending.length;
  while (beyond - at > 1) {
    const middle = (at + beyond) >> 1;
    if (ascending[middle]! <= place) at = middle;
    else beyond = middle;
  }
  return ascending[at]!;
}

interface PlacedValue extends LinedValue {
  readonly place: number;
}

/** The points that a pattern ending at a place may hold, oldest first. */
function pointsBefore(chart: DrawnChart, place: number, breaks: readonly number[]): readonly PlacedValue[] {
  const first = lastUpTo(breaks, place);
  const points: PlacedValue[] = [];
  let missing = 0;
  for (let before = place; before >= first && points.length < LONGEST && missing <= MOST_MISSING; before -= 1) {
    const value = chart.values.at(before);
    const centre = chart.centres.at(before);
    const sigma = chart.sigmas.at(before);
    const lined = centre !== null && sigma !== null && sigma > 0 && verdictAt(chart, before) !== "not-evaluable";
    if (value === null || !lined) {
      missing += 1;
      continue;
    }
    missing = 0;
    points.push({ place: before, value, centre, sigma });
  }
  return points.reverse();
}

function signalAt(row: Rule, chart: DrawnChart, place: number, points: readonly PlacedValue[]): PatternSignal {
  // The rows are those of the ids, in their order.
  const rule = row.id as RuleId;
  if (row.kind === "limit") {
    return { rule, side: verdictAt(chart, place) === "above" ? "above" : "below", members: [place] };
  }
  const newest = points.at(-1)!;
  if (row.kind === "window") {
    const side = zoneSide(row, newest);
    const alike = points.slice(-row.of).filter((point) => zoneSide(row, point) === side);
    return { rule, side: side > 0 ? "above" : "below", members: alike.map((point) => point.place) };
  }
  const members = points.slice(-row.points).map((point) => point.place);
  if (row.kind !== "trend") return { rule, side: "both", members };
  const up = stepDirection(points.at(-2)!, newest) > 0;
  return { rule, side: up ? "above" : "below", members };
}
