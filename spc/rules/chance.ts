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
  const rows = Array.from({ length: states });
  const after = (from: number, zone: number): number => next[from * zones.length + zone]!;
  const near = nearest(2 * LIMIT * BINS, farthest / WIDTH);
  const bins = Array.from({ length: 2 * LIMIT * BINS }, (_, i) => {
    const lower = -LIMIT + i * WIDTH;
    const middle = lower + WIDTH / 2;
    return {
      chance: normalCdf(lower + WIDTH) - normalCdf(lower),
      zone: zones.findIndex((zone) => zone.lower < middle && middle < zone.upper),
    };
  });

  // Before the first point there is no value, so no moving range can fire on it.
  let mass = rows.map(() => new Float64Array(bins.length));
  bins.forEach(({ chance, zone }, bin) => {
    const to = after(0, zone);
    if (to !== FIRES) mass[to]![bin]! += chance;
  });
  let survival = total(mass);
  let length = 1 + survival;
  let share = 1;
  for (let point = 2; point <= SETTLED; point += 1) {
    const moved = rows.map(() => new Float64Array(bins.length));
    mass.forEach((row, from) => {
      const reached = near(row);
      if (reached === null) return;
      bins.forEach(({ chance, zone }, bin) => {
        const to = after(from, zone);
        if (to !== FIRES) moved[to]![bin]! += chance * reached[bin]!;
      });
    });
    const left = total(moved);
    share = left / survival;
    survival = left;
    length += survival;
    mass = moved;
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

function total(mass: readonly Float64Array[]): number {
  return mass.reduce((sum, row) => row.reduce((all, one) => all + one, sum), 0);
}
