import { d2 } from "../factors/d2.ts";
import { d3 } from "../factors/d3.ts";
import { normalCdf } from "../library/normal.ts";
import type { Rule } from "./rule.ts";
import { FIRES, LIMIT, ruleChain } from "./rule-chain.ts";
import { averageRunLength } from "./run-length.ts";

/** Bins to one sigma: every rule's line falls on an edge. */
const BINS = 50;
const WIDTH = 1 / BINS;
/** Points after which survival falls by the same share each; twenty more than the longest memory would do. */
const SETTLED = 120;

/**
 * Run length of a pair: how many points individuals with moving range let pass until either chart fires.
 *
 * @shape   rules of the location chart and of the spread chart, whose only rule can be its limit
 * @unit    dimensionless, points
 * @method  the location rules' chain (`ruleChain`) beside the last value in bins of 1/50 sigma; a next value farther
 *          than (1 + 3 d3/d2) d2 sigma away fires the moving range. Survival is summed over 120 points and as a
 *          geometric series after that
 * @throws  RangeError for a spread rule without the limit on location: no pair is drawn so
 * @cost    O(states bins) a point, a step a point
 * @source  idea: Crowder 1987, Technometrics 29:345-354 (from memory); method derived here
 * @checked tests/reference/spc/rules/run-length.test.ts
 */
export function* pairRunLengthSteps(location: readonly Rule[], spread: readonly Rule[]): Generator<undefined, number> {
  if (spread.length === 0) return averageRunLength(location);
  if (!location.some((rule) => rule.kind === "limit")) {
    throw new RangeError("a moving range is judged beside individuals that are judged against their limits");
  }
  const farthest = d2(2) + LIMIT * d3(2);
  const { zones, states, next } = ruleChain(location);
  const bins = 2 * LIMIT * BINS;
  const lowerEdge = (bin: number): number => -LIMIT + bin * WIDTH;
  const chances = Float64Array.from({ length: bins }, (_, bin) => {
    return normalCdf(lowerEdge(bin) + WIDTH) - normalCdf(lowerEdge(bin));
  });
  /** Bins of one zone lie side by side. */
  const firstOf = zones.map(({ lower }) => Math.min(Math.max(Math.round((lower + LIMIT) * BINS), 0), bins));
  const near = nearest(bins, farthest / WIDTH);
  const move = (from: number, reached: Float64Array | null, moved: Float64Array): void => {
    for (let zone = 0; zone < zones.length; zone++) {
      const to = next[from * zones.length + zone]!;
      if (to === FIRES) continue;
      const end = firstOf[zone + 1] ?? bins;
      for (let bin = firstOf[zone]!; bin < end; bin++) {
        moved[to * bins + bin]! += chances[bin]! * (reached === null ? 1 : reached[bin]!);
      }
    }
  };

  // Before the first point there is no value, so no moving range can fire on it.
  let mass = new Float64Array(states * bins);
  let moved = new Float64Array(states * bins);
  move(0, null, mass);
  let survival = total(mass);
  let length = 1 + survival;
  let share = 1;
  for (let point = 2; point <= SETTLED; point += 1) {
    moved.fill(0);
    for (let from = 0; from < states; from++) {
      const reached = near(mass.subarray(from * bins, (from + 1) * bins));
      if (reached !== null) move(from, reached, moved);
    }
    const left = total(moved);
    share = left / survival;
    survival = left;
    length += survival;
    [mass, moved] = [moved, mass];
    yield;
  }
  return length + (survival * share) / (1 - share);
}

/**
 * How much of a row lies within `reach` bins of each bin's middle, parts of a bin by their share; null where the row is
 * empty. Which bins those are is the same for every row, and so is the room for the answer.
 */
function nearest(bins: number, reach: number): (row: Float64Array) => Float64Array | null {
  const edges = (off: number) =>
    Float64Array.from({ length: bins }, (_, bin) => Math.min(Math.max(bin + 0.5 + off, 0), bins));
  const [lower, upper] = [edges(-reach), edges(reach)];
  const sums = new Float64Array(bins + 1);
  const found = new Float64Array(bins);
  return (row) => {
    for (let i = 0; i < bins; i++) sums[i + 1] = sums[i]! + row[i]!;
    if (sums[bins] === 0) return null;
    const upTo = (edge: number): number => {
      const whole = Math.floor(edge);
      return sums[whole]! + (edge - whole) * (row[whole] ?? 0);
    };
    for (let bin = 0; bin < bins; bin++) found[bin] = upTo(upper[bin]!) - upTo(lower[bin]!);
    return found;
  };
}

function total(mass: Float64Array): number {
  let sum = 0;
  for (let i = 0; i < mass.length; i++) sum += mass[i]!;
  return sum;
}
