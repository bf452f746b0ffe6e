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
 * @cost    O(states bins) a point
 * @source  idea: Crowder 1987, Technometrics 29:345-354 (from memory); method derived here
 * @checked tests/reference/spc/rules/run-length.test.ts
 */
export function pairRunLength(location: readonly Rule[], spread: readonly Rule[]): number {
  if (spread.length === 0) return averageRunLength(location);
  if (!location.some((rule) => rule.kind === "limit")) {
    throw new RangeError("a moving range is judged beside individuals that are judged against their limits");
  }
  const farthest = d2(2) + LIMIT * d3(2);
  const { zones, states, next } = ruleChain(location);
  const rows = Array.from({ length: states });
  const after = (from: number, zone: number): number => next[from * zones.length + zone]!;
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
      const near = within(row, farthest / WIDTH);
      bins.forEach(({ chance, zone }, bin) => {
        const to = after(from, zone);
        if (to !== FIRES) moved[to]![bin]! += chance * near(bin);
      });
    });
    const left = total(moved);
    share = left / survival;
    survival = left;
    length += survival;
    mass = moved;
  }
  return length + (survival * share) / (1 - share);
}

/** How much of a row lies within `reach` bins of a bin's middle, parts of a bin by their share. */
function within(row: Float64Array, reach: number): (bin: number) => number {
  const sums = new Float64Array(row.length + 1);
  row.forEach((mass, i) => {
    sums[i + 1] = sums[i]! + mass;
  });
  const upTo = (edge: number): number => {
    const at = Math.min(Math.max(edge, 0), row.length);
    const whole = Math.floor(at);
    return sums[whole]! + (at - whole) * (row[whole] ?? 0);
  };
  return (bin) => upTo(bin + 0.5 + reach) - upTo(bin + 0.5 - reach);
}

function total(mass: readonly Float64Array[]): number {
  return mass.reduce((sum, row) => row.reduce((all, one) => all + one, sum), 0);
}
